"""Text to nodes with their places, and the judgement of their shape."""
