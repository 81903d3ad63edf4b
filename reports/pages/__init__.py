"""One module per page: a ``PAGE`` and a ``build(warehouse, audience)``."""
