"""An archive of jobs read together: what notices taught, what is still owed, and what to take along to a re-visit.

Imports `batch` and what stands below it; not `authoring` or `fieldwork`.
"""
