"""The words of SVG that the reader lets through, and what it says of the others.

Nothing comes in; names of elements, attributes and properties go out as plain sets.
Never done here: looking at a drawing.

Sources: SVG 1.1 second edition and SVG 2 (element, attribute and property indexes), Filter Effects 1, CSS Masking 1,
Compositing 1.
"""

from __future__ import annotations

SHAPES = frozenset(("path", "rect", "circle", "ellipse", "line", "polyline", "polygon"))
TEXT_PARTS = frozenset(("tspan", "textPath"))
GRAPHICS = SHAPES | {"text", "image", "use"}
PAINT_SERVERS = frozenset(("linearGradient", "radialGradient", "pattern"))
NEVER_DRAWN_DIRECTLY = PAINT_SERVERS | {"defs", "symbol", "clipPath", "mask", "marker", "filter"}

FILTER_PRIMITIVES = frozenset(
    (
        "feBlend",
        "feColorMatrix",
        "feComponentTransfer",
        "feComposite",
        "feConvolveMatrix",
        "feDiffuseLighting",
        "feDisplacementMap",
        "feDropShadow",
        "feFlood",
        "feGaussianBlur",
        "feImage",
        "feMerge",
        "feMorphology",
        "feOffset",
        "feSpecularLighting",
        "feTile",
        "feTurbulence",
    )
)
FILTER_PARTS = frozenset(
    ("feFuncA", "feFuncR", "feFuncG", "feFuncB", "feMergeNode", "feDistantLight", "fePointLight", "feSpotLight")
)

KEPT_ELEMENTS = (
    GRAPHICS | TEXT_PARTS | NEVER_DRAWN_DIRECTLY | FILTER_PRIMITIVES | FILTER_PARTS | {"svg", "g", "stop", "switch", "a"}
)

ANIMATIONS = frozenset(("animate", "animateColor", "animateMotion", "animateTransform", "set", "discard", "mpath"))

# Elements without ink of their own: left out without a word.
SILENT = frozenset(
    (
        "title",
        "desc",
        "metadata",
        "style",
        "view",
        "cursor",
        "color-profile",
        "font",
        "font-face",
        "font-face-src",
        "font-face-uri",
        "font-face-format",
        "font-face-name",
        "glyph",
        "missing-glyph",
        "hkern",
        "vkern",
        "link",
        "unknown",
    )
)

# Elements of drafts, HTML and SVG 2 that no renderer here draws, and how a person calls them.
UNDRAWN = {
    "foreignObject": "embedded web content",
    "flowRoot": "flowed text of the SVG 1.2 draft",
    "meshgradient": "a mesh gradient",
    "meshGradient": "a mesh gradient",
    "mesh": "a mesh",
    "hatch": "a hatch pattern",
    "solidcolor": "a named colour",
    "solidColor": "a named colour",
    "tref": "text taken from another element",
    "altGlyph": "an alternative glyph",
    "video": "a video",
    "audio": "a sound",
    "iframe": "an embedded page",
    "canvas": "a scripted canvas",
    "textArea": "flowed text of SVG Tiny",
}

# Presentation attributes and properties that decide what is painted.
_PROPERTIES_WORDS = """
white-space
alignment-baseline baseline-shift clip-path clip-rule color color-interpolation color-interpolation-filters direction
display dominant-baseline fill fill-opacity fill-rule filter flood-color flood-opacity font-family font-size
font-size-adjust font-stretch font-style font-variant font-weight font-kerning image-rendering isolation letter-spacing
lighting-color marker-end marker-mid marker-start mask mask-type mix-blend-mode opacity overflow paint-order
shape-rendering stop-color stop-opacity stroke stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin
stroke-miterlimit stroke-opacity stroke-width text-anchor text-decoration text-decoration-color text-rendering transform
transform-origin transform-box translate rotate scale unicode-bidi vector-effect visibility word-spacing writing-mode
text-transform
"""
PROPERTIES = frozenset(_PROPERTIES_WORDS.split())

# Properties that are no presentation attributes: they stay in `style`.
STYLE_ONLY = frozenset(("mix-blend-mode", "isolation"))

# Geometry that SVG 2 also lets style sheets set ("geometry properties").
GEOMETRY = {
    "svg": frozenset(("x", "y", "width", "height")),
    "rect": frozenset(("x", "y", "width", "height", "rx", "ry")),
    "image": frozenset(("x", "y", "width", "height")),
    "use": frozenset(("x", "y", "width", "height")),
    "symbol": frozenset(("x", "y", "width", "height")),
    "circle": frozenset(("cx", "cy", "r")),
    "ellipse": frozenset(("cx", "cy", "rx", "ry")),
    "path": frozenset(("d",)),
}

_NUMERIC_ATTRIBUTES_WORDS = """
amplitude azimuth baseFrequency bias cx cy d diffuseConstant divisor dx dy elevation exponent fr fx fy height intercept
k1 k2 k3 k4 kernelMatrix kernelUnitLength limitingConeAngle markerHeight markerWidth numOctaves offset order pathLength
pointsAtX pointsAtY pointsAtZ points r radius refX refY rotate rx ry scale seed slope specularConstant specularExponent
startOffset stdDeviation surfaceScale tableValues targetX targetY textLength transform gradientTransform
patternTransform viewBox width x x1 x2 y y1 y2 z values stroke-width stroke-dasharray stroke-dashoffset
stroke-miterlimit font-size letter-spacing word-spacing opacity fill-opacity stroke-opacity stop-opacity flood-opacity
"""
NUMERIC_ATTRIBUTES = frozenset(_NUMERIC_ATTRIBUTES_WORDS.split())

_PLAIN_ATTRIBUTES_WORDS = """
id clipPathUnits edgeMode filterUnits gradientUnits in in2 k lengthAdjust markerUnits maskContentUnits maskUnits method
mode operator orient patternContentUnits patternUnits preserveAlpha preserveAspectRatio primitiveUnits result side
spacing spreadMethod stitchTiles type xChannelSelector yChannelSelector
"""
PLAIN_ATTRIBUTES = frozenset(_PLAIN_ATTRIBUTES_WORDS.split())

REFERENCE_PROPERTIES = ("fill", "stroke", "clip-path", "mask", "filter", "marker-start", "marker-mid", "marker-end")
MARKERS = ("marker-start", "marker-mid", "marker-end")

KEPT_ATTRIBUTES = PROPERTIES | NUMERIC_ATTRIBUTES | PLAIN_ATTRIBUTES
