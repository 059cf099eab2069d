"""Changeout Checker: rules as data for the replacement of residential air conditioners and heat pumps."""
