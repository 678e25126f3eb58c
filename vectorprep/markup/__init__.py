"""Markup: safe trees, computed style, and colour tokens rewritten where they stand.

Comes in: bytes or element trees.
Goes out: element trees, bytes, computed values, issues.
Never done here: deciding what a drawing means for a product.
"""
