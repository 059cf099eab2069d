"""Bound rules as plain nodes, and the values they are judged with: the form that every reader of rules shares.

`node` makes a class a node, `tree` holds the nodes of rules, `visitor` is the one way through a tree, `references` tells which
facts a node reads, `kleene` the three truth values with their causes, `outcomes` the three answers of a rule, `digests` how
equal data is known again. `codec` writes nodes as plain data and reads them back, `program` is all that judging at one place
needs as one JSON document, `program_schema` writes that document's schema, and `packed` writes plain data in little room.

Imports `problems` and `trade` only. A node is data: it knows no job, no file and no ruleset.
"""
