"""Typed values that requests, styles and measures share: parameters, lengths, colours, plastics, the checks' names."""
