"""Jobs out of a spreadsheet: one job a row, one fact a column, and every mistake told by its row and column.

`sheet` and `workbook` read files into a `table` (`workbook` is the door of openpyxl), `headings` and `cells` read it, `rows`
makes jobs.

Imports `reporting` and what stands below it.
"""
