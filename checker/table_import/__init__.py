"""Jobs out of a spreadsheet: one job a row, one fact a column, and every mistake told by its row and column."""
