"""Keeping the water book: reading what people write into it, and showing what stands in it."""
