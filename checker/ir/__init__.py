"""Bound rules as data: what a node is, how to go through a tree of them, and how a tree travels as JSON.

`node` makes a class a node, and `visitor` is the one way through a tree. It imports nothing of this program; whatever
binds, judges, checks or explains a rule uses it.
"""
