"""Evidence: clues go in, spans of years and stories about a piece come out."""
