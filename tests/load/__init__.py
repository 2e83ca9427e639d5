"""The running product under load, each figure as a ratio or a bar in one run: `make load`."""
