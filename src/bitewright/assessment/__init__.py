"""From a person's marks on a real film to measurements and a rating."""
