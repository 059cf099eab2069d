"""What a check says, in the forms that people and programs read.

One module a form; `words` and `totals` are shared by several, `form` and `forms` are those for many jobs. `html` is the door
of Jinja, and every value is escaped. `title_block` names the job, `first_look` is what an inspector looks at first. `pdf`
is the door of typst, `pdf_text` what it sets. `figures` draws the pictures of a page.

Imports `engine` and what stands below it. A report is a function of `findings.report.Report` and nothing else.
"""
