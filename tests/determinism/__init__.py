"""Same request, same bytes: a committed table of digests, and the same requests built in odd environments.

`python -m tests.determinism` writes the table anew.
"""
