"""Sizes: outlines matched, mixed by place, laid on each other so that seams still match."""
