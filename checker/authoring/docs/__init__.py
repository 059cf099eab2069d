"""A page for every rule, as a site or as Markdown.

`desk` holds the rulesets, `model` is what stands on a page, `page` makes one, `collection` all of them, `site` and
`markdown` write them.
"""
