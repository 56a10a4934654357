"""How answers are shown to people: tables and sentences, loaded when there is an answer."""
