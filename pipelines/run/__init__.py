"""One run: a drop into a new warehouse and new pages, swapped in when every check passed.

Nothing is imported here: small commands open a warehouse without loading contracts and models.
"""
