"""The one page frame: templates, style and scripts."""

from reports.frame.render import Issue, Place, render

__all__ = ["Issue", "Place", "render"]
