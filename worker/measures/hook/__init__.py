"""What a hook does in a bait: where it goes through, what it holds, and whether its point comes clear."""
