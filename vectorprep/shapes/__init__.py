"""Pure geometry on arrays: coverage traced into polygons, polygons grown into cut lines, polygons fitted with curves.

Comes in: coverage, points, lengths in mm. Goes out: points, regions, path data.
Never done here: drawing, markup, the rules of a product.
"""
