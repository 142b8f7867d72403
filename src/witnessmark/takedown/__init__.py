"""Taking apart: parts and joints go in; the order apart, and the order together, come out."""
