"""A spreadsheet as people keep it, understood: its table, what its columns and words mean.

Nothing here reads a file or writes one. A workbook of cells comes in, rows with fields of the log
go out, each with what is wrong with it. What cannot be told with some certainty is asked, at most
five things, those first on which most rows hang; what is not asked is told. The order of steps:

1. Where the tables are (`parts_beside`, `finding_tables`, `table_body`, with `said_above` for lines
   between rows), and which belong together (`joining_sheets`).
2. Each film a row of its own: several in columns (`films_beside`), a cell (`films_in_cells`) or a
   visit written out (`films_written_out`), one made twice (`takes`, `films_taken_twice`), what
   holds for the rows below (`what_holds_below`).
3. What the sheet itself explains (`legends`, `glued_marks`), and what stands in each column
   (`column_facts`).
4. What each column holds: by its heading and its cells (`guessing_columns`, `column_cells`,
   `cells_alone`, `marks_under_headings`), all of them together (`best_assignment`), and judged
   beside the others (`columns_beside_others`, `roles_asked`, `unsure_columns`).
5. What single words mean (`vocabulary` and its tables, `word_meanings`, `fault_phrases`, `asides`,
   `view_words`, `grades`, `grade_order`, `close_words`), and how days are written (`dates`,
   `days_in_six`, `sheet_days`, `weekdays`).
6. The sheet understood (`understanding`), with doubts that only its rows show (`retakes_in_doubt`,
   `decisions_at_odds`, `lost_rows`), and the questions (`questions`, `asked_words`, `asking`).
7. Each row read (`row_reading`, `row_days`, `row_views`, `row_decisions`, `second_films`), people
   and patients by codes (`pseudonyms`), every fault of a row kept with it (`read_rows`).
"""
