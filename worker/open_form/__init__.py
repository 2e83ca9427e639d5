"""The open form of a request: strands and hollows by themselves, in place of a style and its parameters."""
