"""What a report says, in the reader's order; one file a topic."""

from .assemble import assemble

__all__ = ["assemble"]
