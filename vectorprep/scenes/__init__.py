"""Product pictures: an artwork put on a drawing of a product, or on a photograph of it.

Comes in: the file of a picture in parts, the ink of an artwork as it is printed, a blank.
Goes out: the finished picture, pixels and bytes.
Never done here: opening files, cleaning drawings, placing artworks, choosing inks.

The line: `source` takes the file apart, `record` reads what it states, `outline` its area, `scene` makes a `Scene`;
`layers` and `photograph` make its pixels, `surface` says where a point of the print area lies, `sampling` carries ink there,
`light` and `cloth` say how it looks there, `compose` puts all together, `encode` writes it.
"""
