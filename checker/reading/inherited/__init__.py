"""What a job takes over from elsewhere: manufacturers' sheets for its models, and a contractor's profile.

`manufacturer_sheet` and `equipment` read sheets, `profile` a profile, `merging` puts facts into a job without touching what
it records itself, `inheritance` does all of it for one job, `inherited_document` hands it over as data, `schema` writes
the schemas for editors.

Imports `reading` and what stands below it.
"""
