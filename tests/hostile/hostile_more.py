"""The second half of the hostile set: numbers, strokes, filters, active content, links, pictures, text, ink, style sheets."""

from __future__ import annotations

import base64
import gzip
import zlib
from functools import partial
from urllib.parse import quote

from tests.hostile.hostile_cases import (
    KEEP,
    LEAK,
    Case,
    chunk,
    css,
    doctype,
    encoded,
    filtered,
    frames,
    links,
    nested,
    picture,
    png,
    several,
    svg,
    uri,
)

XHTML = 'xmlns="http://www.w3.org/1999/xhtml"'
JPEG = encoded("RGB", "JPEG", 64)
SMALL = png(4, 4)


def _shape(attributes: str) -> str:
    return f"<path d='M10 10L90 90' stroke='#246' {attributes}/>"


NUMBERS = several(
    "any",
    "",
    {
        "number nan": lambda: svg('<circle r="NaN"/>'),
        "number infinite": lambda: svg('<path d="M0 0L Infinity 5"/>'),
        "number 1e30": lambda: svg('<rect width="1e30" height="9"/>'),
        "number 1e308": lambda: svg('<g transform="scale(1e308)"><rect width="9" height="9"/></g>'),
        "number 1e999": lambda: svg('<rect x="1e999" width="9" height="9"/>'),
        "number exponent long": lambda: svg(f'<rect width="1e{"9" * 4000}" height="9"/>'),
        "number tiny": lambda: svg('<g transform="scale(1e-30)"><rect width="9" height="9"/></g>'),
        "number negative sizes": lambda: svg('<rect width="-9" height="9"/><circle r="-1"/><ellipse rx="-1" ry="2"/>'),
        "number singular": lambda: svg('<g transform="matrix(0 0 0 0 0 0)"><rect width="9" height="9"/></g>'),
        "number skewed flat": lambda: svg('<g transform="skewX(90)"><rect width="9" height="9"/></g>'),
        "number transform broken": lambda: svg('<g transform="rotate(1 2) blah(3"><rect width="9" height="9"/></g>'),
        "number radius huge": lambda: svg('<circle r="9000000"/>'),
        "number far away": lambda: svg('<rect x="9000000" y="9000000" width="9" height="9"/>'),
        "number stroke huge": lambda: svg('<path d="M0 0L9 9" stroke="#246" stroke-width="9000000"/>'),
        "number opacity": lambda: svg('<g opacity="1e9"><rect width="9" height="9"/></g><g opacity="nan"/>'),
        "page zero": lambda: svg(page='width="0" height="0"'),
        "page negative": lambda: svg(page='width="-5" height="5"'),
        "page nan": lambda: svg(page='width="nan" height="5"'),
        "page huge": lambda: svg(page='width="1e9" height="1e9"'),
        "page huge box": lambda: svg(page='width="100" height="100" viewBox="0 0 9000000 9000000"'),
        "page tiny": lambda: svg(page='width="0.0001" height="0.0001"'),
        "page tiny box": lambda: svg(page='width="100" height="100" viewBox="0 0 1e-9 1e-9"'),
        "page thread": lambda: svg(page='width="1" height="900000"'),
        "page of miles": lambda: svg(page='width="99999999in" height="99999999in"'),
        "page odd unit": lambda: svg(page='width="10furlong" height="10parsec"'),
        "page words": lambda: svg(page='width="wide" height="high" viewBox="a b c d"'),
        "page box short": lambda: svg(page='width="100" height="100" viewBox="0 0 100"'),
        "page box without area": lambda: svg(page='width="100" height="100" viewBox="0 0 0 100"'),
        "page box nan": lambda: svg(page='width="100" height="100" viewBox="0 nan 100 100"'),
        "page calc": lambda: svg(page='width="calc(100px*1e9)" height="100"'),
        "page aspect odd": lambda: svg(page='width="100" height="100" viewBox="0 0 9 9" preserveAspectRatio="xMoonYSun slice"'),
        "path broken": lambda: svg('<path d="M0 0 L banana Z M"/>'),
        "path without move": lambda: svg('<path d="L9 9"/>'),
        "arc flags broken": lambda: svg('<path d="M0 0A1 1 0 7 7 9 9"/>'),
        "arc of no radius": lambda: svg('<path d="M0 0A0 0 0 1 1 9 9A1e-30 1e-30 0 1 1 5 5"/>'),
        "polygon odd": lambda: svg('<polygon points="0,0 9,9 9"/>'),
        "stops out of range": lambda: svg(
            '<linearGradient id="g"><stop offset="-9"/><stop offset="nan"/><stop offset="99"/></linearGradient><rect width="99" height="9" fill="url(#g)"/>'
        ),
        "radial gradient odd": lambda: svg(
            '<radialGradient id="g" r="0" fx="99" fr="9"><stop stop-color="red"/></radialGradient><rect width="99" height="9" fill="url(#g)"/>'
        ),
        "view of a symbol": lambda: svg(
            '<symbol id="s" viewBox="0 0 0 0"><rect width="9" height="9"/></symbol><use href="#s" width="1e7" height="0"/>'
        ),
    },
)

STROKES = several(
    "any",
    "",
    {
        "dash tiny": lambda: svg(_shape('stroke-dasharray="0.0001"')),
        "dash tiny on many": lambda: svg(_shape('stroke-dasharray="0.001 0.001"') * 200),
        "dash tiny by scale": lambda: svg(
            '<g transform="scale(10000)"><path d="M0 0L0.01 0.01" stroke="#246" stroke-width="0.001" stroke-dasharray="0.0000001"/></g>'
        ),
        "dash on a huge circle": lambda: svg('<circle r="5000000" fill="none" stroke="#246" stroke-dasharray="1"/>'),
        "dash on a far line": lambda: svg("<path d='M-9000000 50H9000000' stroke='#246' stroke-dasharray='0.1'/>"),
        "dash flood": lambda: svg(_shape(f'stroke-dasharray="{"1 2 " * 50000}"')),
        "dash of commas": lambda: svg(_shape(f'stroke-dasharray="{"1," * 50000}"')),
        "dash of lines": lambda: svg(_shape('stroke-dasharray="' + "1&#10;" * 50000 + '"')),
        "dash zero": lambda: svg(_shape('stroke-dasharray="0 0"')),
        "dash negative": lambda: svg(_shape('stroke-dasharray="-1 2"')),
        "dash offset huge": lambda: svg(_shape('stroke-dasharray="1 2" stroke-dashoffset="9999999"')),
        "dash by path length": lambda: svg(_shape('pathLength="1000000" stroke-dasharray="1"')),
        "dash by path length zero": lambda: svg(_shape('pathLength="0" stroke-dasharray="1"')),
        "dash with round caps": lambda: svg(_shape('stroke-width="50" stroke-linecap="round" stroke-dasharray="0 0.01"')),
        "dash in text": lambda: svg('<text y="60" font-size="60" stroke="#246" stroke-dasharray="0.001">abc</text>'),
        "dash inherited": lambda: svg('<g stroke-dasharray="0.0005">' + _shape("") * 20 + "</g>"),
        "dash by style sheet": lambda: svg("<style>path{stroke-dasharray:.0005}</style>" + _shape("") * 20),
        "dash in percent": lambda: svg(_shape('stroke-dasharray="0.0001%"')),
        "miter huge": lambda: svg(
            '<path d="M0 0L99 1L0 2" fill="none" stroke="#246" stroke-miterlimit="9999999" stroke-width="20"/>'
        ),
        "join round on many": lambda: svg(
            _shape('stroke-width="80" stroke-linejoin="round" fill="none"').replace("M10 10L90 90", "M0 0" + "L99 9L1 50" * 30000)
        ),
    },
)

WHOLE = 'x="0" y="0" width="1" height="1"'
VAST = 'x="-5000%" y="-5000%" width="10000%" height="10000%"'
FILTERS = several(
    "any",
    "",
    {
        "filter noise": lambda: filtered('<feTurbulence baseFrequency="0.5" numOctaves="10"/>', WHOLE),
        "filter noise of many octaves": lambda: filtered('<feTurbulence baseFrequency="0.5" numOctaves="1000000"/>', WHOLE),
        "filter noise often": lambda: filtered('<feTurbulence baseFrequency="0.5" numOctaves="10"/>' * 40, WHOLE),
        "filter noise of no frequency": lambda: filtered('<feTurbulence baseFrequency="-1 nan"/>', WHOLE),
        "filter blur wide": lambda: filtered('<feGaussianBlur stdDeviation="90"/>'),
        "filter blur too wide": lambda: filtered('<feGaussianBlur stdDeviation="99999"/>'),
        "filter blur chain": lambda: filtered('<feGaussianBlur stdDeviation="30"/>' * 49, WHOLE),
        "filter blur of one side": lambda: filtered('<feGaussianBlur stdDeviation="50 0"/>'),
        "filter blur negative": lambda: filtered('<feGaussianBlur stdDeviation="-5"/>'),
        "filter vast": lambda: filtered('<feGaussianBlur stdDeviation="5"/>', VAST),
        "filter vast flood": lambda: filtered(
            '<feFlood flood-color="red"/>',
            'filterUnits="userSpaceOnUse" x="-9000000" y="-9000000" width="9999999" height="9999999"',
        ),
        "filter of no size": lambda: filtered('<feFlood flood-color="red"/>', 'width="0" height="0"'),
        "filter resolution": lambda: filtered('<feOffset dx="1"/>', 'filterRes="90000 90000"'),
        "filter morphology": lambda: filtered('<feMorphology operator="dilate" radius="4"/>' * 10, WHOLE),
        "filter morphology wide": lambda: filtered('<feMorphology operator="dilate" radius="80"/>'),
        "filter morphology by box": lambda: filtered(
            '<feMorphology operator="dilate" radius="0.5"/>', 'primitiveUnits="objectBoundingBox"'
        ),
        "filter kernel": lambda: filtered(f'<feConvolveMatrix order="15" kernelMatrix="{"1 " * 225}"/>', WHOLE),
        "filter kernel big": lambda: filtered(f'<feConvolveMatrix order="200" kernelMatrix="{"1 " * 40000}"/>', WHOLE),
        "filter kernel odd": lambda: filtered('<feConvolveMatrix order="0 3" kernelMatrix="1" divisor="0" targetX="99"/>', WHOLE),
        "filter tile": lambda: filtered('<feFlood x="0" y="0" width="0.01" height="0.01" flood-color="red"/><feTile/>', WHOLE),
        "filter light": lambda: filtered(
            '<feTurbulence/><feDiffuseLighting surfaceScale="1e6"><fePointLight x="1" y="1" z="1"/></feDiffuseLighting>', WHOLE
        ),
        "filter light often": lambda: filtered(
            '<feSpecularLighting specularExponent="128"><feSpotLight z="5" limitingConeAngle="1"/></feSpecularLighting>' * 40, WHOLE
        ),
        "filter displacement": lambda: filtered(
            '<feTurbulence result="t"/><feDisplacementMap in="SourceGraphic" in2="t" scale="999999"/>', WHOLE
        ),
        "filter table": lambda: filtered(
            f'<feComponentTransfer><feFuncR type="table" tableValues="{"0 1 " * 200000}"/></feComponentTransfer>', WHOLE
        ),
        "filter matrix short": lambda: filtered('<feColorMatrix values="1 2 3"/>', WHOLE),
        "filter merge": lambda: filtered("<feMerge>" + '<feMergeNode in="SourceGraphic"/>' * 5000 + "</feMerge>", WHOLE),
        "filter offset": lambda: filtered('<feOffset dx="9999999" dy="-9999999"/>', WHOLE),
        "filter shadow": lambda: filtered('<feDropShadow stdDeviation="60" dx="1e6"/>'),
        "filter inputs missing": lambda: filtered('<feBlend in="none" in2="neither"/>'),
        "filter empty": lambda: filtered(""),
        "filter steps": lambda: filtered('<feOffset dx="0.1"/>' * 5000),
        "filter on many": lambda: svg(
            '<filter id="f"><feGaussianBlur stdDeviation="9"/></filter>' + '<rect width="90" height="90" filter="url(#f)"/>' * 400
        ),
        "filter in filter": lambda: svg(
            '<filter id="f"><feGaussianBlur stdDeviation="9"/></filter>' + '<g filter="url(#f)">' * 60 + KEEP + "</g>" * 60
        ),
        "filter list": lambda: svg(f'<rect width="90" height="90" style="filter:{"blur(5px) " * 45}"/>'),
        "filter list long": lambda: svg(f'<rect width="90" height="90" style="filter:{"blur(5px) " * 4000}"/>'),
        "filter function wide": lambda: svg('<rect width="90" height="90" style="filter:blur(999999px)"/>'),
        "filter function shadow": lambda: svg('<rect width="90" height="90" style="filter:drop-shadow(0 0 90px red)"/>' * 50),
        "filter scaled": lambda: svg(
            '<filter id="f"><feGaussianBlur stdDeviation="1"/></filter><g transform="scale(2000)"><rect width="90" height="90" filter="url(#f)"/></g>'
        ),
        "filter turned": lambda: svg(
            '<filter id="f"><feMorphology radius="3"/></filter><g transform="rotate(37)"><rect width="90" height="90" filter="url(#f)"/></g>'
        ),
        "filter picture outside": lambda: filtered('<feImage href="http://127.0.0.1:9/a.png"/>'),
        "filter picture of all": lambda: svg(
            '<filter id="f"><feImage href="#r"/></filter><g id="r"><rect width="90" height="90" filter="url(#f)"/></g>'
        ),
        "filter reference chain": lambda: svg(
            "".join(f'<filter id="f{n}" href="#f{n + 1}"/>' for n in range(500)) + '<rect width="9" height="9" filter="url(#f0)"/>'
        ),
    },
)

ACTIVE = several(
    "drawn",
    "",
    {
        "script": lambda: svg(f"<script>{LEAK}()</script>"),
        "script in cdata": lambda: svg(f"<script><![CDATA[for(;;){LEAK}()]]></script>"),
        "script linked": lambda: svg(f'<script xlink:href="http://127.0.0.1:9/{LEAK}.js"/>'),
        "script of xhtml": lambda: svg(f"<x:script xmlns:x='http://www.w3.org/1999/xhtml'>{LEAK}</x:script>"),
        "handlers": lambda: svg(f'<rect width="9" height="9" onload="{LEAK}" onclick="{LEAK}" ONMOUSEOVER="{LEAK}"/>'),
        "handler of the root": lambda: svg(page=f'width="100" height="100" onload="{LEAK}()"'),
        "handler element": lambda: svg(f'<handler type="application/ecmascript">{LEAK}</handler>'),
        "address with a script": lambda: svg(f'<a href="javascript:{LEAK}()"><rect width="9" height="9"/></a>'),
        "animation": lambda: svg(
            '<rect width="9" height="9"><animate attributeName="x" values="0;9" dur="1s"/><set attributeName="fill" to="red"/></rect>'
        ),
        "animation of a link": lambda: svg(
            f'<a href="#"><animate attributeName="href" to="javascript:{LEAK}()"/><rect width="9" height="9"/></a>'
        ),
        "animation by style": lambda: css("@keyframes k{from{x:0}to{x:9}}rect{animation:k 1s infinite}"),
        "web content": lambda: svg(
            f'<foreignObject width="50" height="50"><body {XHTML}><iframe src="http://127.0.0.1:9/{LEAK}"/></body></foreignObject>'
        ),
        "web form": lambda: svg(
            f'<foreignObject width="50" height="50"><form {XHTML} action="http://127.0.0.1:9"><input autofocus="" onfocus="{LEAK}"/></form></foreignObject>'
        ),
        "video": lambda: svg(f'<video xlink:href="http://127.0.0.1:9/{LEAK}"/><audio href="{LEAK}"/>'),
        "object of xhtml": lambda: svg(f'<object {XHTML} data="http://127.0.0.1:9/{LEAK}"/><embed {XHTML} src="{LEAK}"/>'),
        "script in a nested drawing": lambda: nested(1, svg(f"<script>{LEAK}()</script>")),
        "cursor": lambda: svg(
            f'<cursor id="c" xlink:href="http://127.0.0.1:9/{LEAK}"/><rect width="9" height="9" cursor="url(#c)"/>'
        ),
        "cascading behaviour": lambda: css(f"rect{{behavior:url({LEAK});-moz-binding:url({LEAK}#x);fill:expression({LEAK})}}"),
    },
)

ADDRESSES = {
    "http": "http://127.0.0.1:@PORT@/a.png",
    "https": "https://127.0.0.1:@PORT@/a.png",
    "ftp": "ftp://127.0.0.1:@PORT@/a.png",
    "file": "file://@CANARY@",
    "file of the host": "file://localhost@CANARY@",
    "absolute": "@CANARY@",
    "relative": "canary.png",
    "upward": "../canary.png",
    "upward twice": "../../../../../../../../..@CANARY@",
    "share": "//127.0.0.1/share/a.png",
    "share of windows": "\\\\127.0.0.1\\share\\a.png",
    "drive": "C:/canary.png",
    "blank before": " &#9;&#10;http://127.0.0.1:@PORT@/a.png",
    "letters large": "HTTP://127.0.0.1:@PORT@/A.PNG",
    "entity written": "&#104;ttp://127.0.0.1:@PORT@/a.png",
    "query": "?a=1",
    "other part": "other.svg#part",
    "blob": "blob:http://127.0.0.1:@PORT@/1",
    "content id": "cid:part1",
    "percent": "%66ile://@CANARY@",
    "document": "data:text/html,%3Cimg src=http://127.0.0.1:@PORT@/a%3E",
}
LINKS = (
    several("any", "", links('<image width="50" height="50" href="@"/>', {f"picture {k}": v for k, v in ADDRESSES.items()}))
    + several(
        "any",
        "",
        links('<image width="50" height="50" xlink:href="@"/>', {f"old picture {k}": v for k, v in list(ADDRESSES.items())[:8]}),
    )
    + several(
        "any",
        "",
        {
            name: partial(svg, text)
            for name, text in {
                "link use": '<use href="@CANARY@#a"/>',
                "link use http": '<use xlink:href="http://127.0.0.1:@PORT@/a.svg#a"/>',
                "link use data": f'<use href="{uri(svg("<g id=%22a%22/>"), "image/svg+xml")}#a"/>',
                "link fill": '<rect width="9" height="9" fill="url(http://127.0.0.1:@PORT@/a.svg#a)"/>',
                "link fill with a fallback": '<rect width="9" height="9" fill="url(a.svg#a) red"/>',
                "link fill quoted": "<rect width='9' height='9' fill='url(\"@CANARY@#a\")'/>",
                "link fill large": '<rect width="9" height="9" fill="URL(@CANARY@#a)"/>',
                "link fill escaped": r'<rect width="9" height="9" style="fill:\75 rl(@CANARY@#a)"/>',
                "link fill commented": '<rect width="9" height="9" style="fill:/**/url(/**/@CANARY@#a)"/>',
                "link fill by variable": '<rect width="9" height="9" style="--a:url(@CANARY@#a);fill:var(--a)"/>',
                "link stroke": '<rect width="9" height="9" stroke="url(a.svg#a)"/>',
                "link clip": '<rect width="9" height="9" clip-path="url(a.svg#a)"/>',
                "link mask": '<rect width="9" height="9" mask="url(@CANARY@#a)"/>',
                "link mask picture": '<rect width="9" height="9" style="mask-image:url(@CANARY@);mask:url(@CANARY@) center"/>',
                "link filter": '<rect width="9" height="9" filter="url(a.svg#f)"/>',
                "link filter listed": '<rect width="9" height="9" style="filter:blur(1px) url(a.svg#f)"/>',
                "link marker": '<path d="M0 0L9 9" marker-end="url(a.svg#m)"/>',
                "link gradient": '<linearGradient id="g" xlink:href="a.svg#g"/><rect width="9" height="9" fill="url(#g)"/>',
                "link pattern": '<pattern id="p" width="9" height="9" href="a.svg#p"/><rect width="9" height="9" fill="url(#p)"/>',
                "link text path": '<text><textPath href="a.svg#p">abc</textPath></text>',
                "link base": '<g xml:base="http://127.0.0.1:@PORT@/"><image width="9" height="9" href="a.png"/></g>',
                "link base of a part": '<g xml:base="http://127.0.0.1:@PORT@/a.svg"><use href="#a"/></g>',
                "link import": "<style>@import url(http://127.0.0.1:@PORT@/a.css);@import '@CANARY@' screen;</style>",
                "link font": "<style>@font-face{font-family:x;src:url(http://127.0.0.1:@PORT@/x.woff)}</style><text font-family='x'>a</text>",
                "link font local": "<style>@font-face{font-family:x;src:local('x'),url(@CANARY@)}</style>",
                "link background": "<style>rect{background:url(@CANARY@);list-style:url(@CANARY@);content:url(@CANARY@)}</style>",
                "link set of pictures": "<style>rect{background-image:image-set('@CANARY@' 1x);fill:image('@CANARY@')}</style>",
                "link by sheet": "<style>rect{fill:url(//127.0.0.1/a.svg#a)}</style><rect width='9' height='9'/>",
                "link colour profile": '<color-profile name="x" xlink:href="@CANARY@"/>',
                "link font face": '<font-face font-family="x"><font-face-src><font-face-uri xlink:href="@CANARY@"/></font-face-src></font-face>',
                "link reference of text": '<text y="9"><tref xlink:href="@CANARY@#t"/></text>',
                "link sheet of xhtml": f'<link {XHTML} rel="stylesheet" href="http://127.0.0.1:@PORT@/a.css"/>',
                "link included": '<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="@CANARY@" parse="text"/>',
                "link hidden": '<g display="none"><image width="9" height="9" href="@CANARY@"/></g>',
                "link in definitions": '<defs><image width="9" height="9" href="@CANARY@"/></defs>',
                "link unreferenced filter": '<filter id="f"><feImage href="@CANARY@"/></filter>',
                "link path": "<style>rect{offset-path:url(@CANARY@);shape-outside:url(@CANARY@);cursor:url(@CANARY@)}</style>",
            }.items()
        },
    )
    + several(
        "any",
        "",
        {
            "link sheet instruction": lambda: (
                b'<?xml version="1.0"?><?xml-stylesheet href="http://127.0.0.1:@PORT@/a.css"?>' + svg()
            ),
            "link sheet of transformations": lambda: (
                b'<?xml version="1.0"?><?xml-stylesheet type="text/xsl" href="@CANARY@"?>' + svg()
            ),
            "link document type": lambda: svg(head='<!DOCTYPE svg PUBLIC "a" "http://127.0.0.1:@PORT@/x.dtd">'),
            "link document type file": lambda: svg(head='<!DOCTYPE svg SYSTEM "@CANARY@">'),
            "link entity": lambda: svg("<text>&x;</text>", head=doctype('<!ENTITY x SYSTEM "@CANARY@">')),
            "link parameter entity": lambda: svg(head=doctype('<!ENTITY % x SYSTEM "@CANARY@"> %x;')),
            "link schema": lambda: svg(
                page='width="100" height="100" xmlns:x="http://www.w3.org/2001/XMLSchema-instance" x:schemaLocation="a http://127.0.0.1:@PORT@/x.xsd"'
            ),
            "link in a nested drawing": lambda: nested(1, svg('<image width="9" height="9" href="@CANARY@"/>')),
            "link in a deep nested drawing": lambda: nested(
                3, svg('<image width="9" height="9" href="http://127.0.0.1:@PORT@/"/>')
            ),
        },
    )
)

PICTURES = several(
    "any",
    "",
    {
        "picture jpeg": lambda: picture(JPEG, "image/jpeg"),
        "picture jpeg cut": lambda: picture(JPEG[: len(JPEG) // 2], "image/jpeg"),
        "picture jpeg of four colours": lambda: picture(encoded("CMYK", "JPEG"), "image/jpeg"),
        "picture jpeg progressive": lambda: picture(encoded("RGB", "JPEG", 64, progressive=True), "image/jpeg"),
        "picture jpeg grey": lambda: picture(encoded("L", "JPEG"), "image/jpeg"),
        "picture jpeg claiming": lambda: picture(JPEG.replace(b"\x00\x40\x00\x40", b"\xff\xdc\xff\xdc"), "image/jpeg"),
        "picture jpeg turned": lambda: picture(
            encoded("RGB", "JPEG", 64, exif=b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0"),
            "image/jpeg",
        ),
        "picture png of 16 bits": lambda: picture(png(8, 8, depth=16, colour=2)),
        "picture png of 16 bit grey": lambda: picture(png(8, 8, depth=16)),
        "picture png palette": lambda: picture(encoded("P", "PNG", transparency=0)),
        "picture png of one bit": lambda: picture(encoded("1", "PNG")),
        "picture png cut": lambda: picture(png(90, 90)[:60]),
        "picture png without end": lambda: picture(SMALL[:-12]),
        "picture png wrong sum": lambda: picture(SMALL.replace(SMALL[29:33], b"\1\2\3\4")),
        "picture png claiming": lambda: picture(png(60_000, 60_000, idat=zlib.compress(b""))),
        "picture png claiming more": lambda: picture(png(2_000_000_000, 2_000_000_000, idat=zlib.compress(b""))),
        "picture png without size": lambda: picture(png(0, 0, idat=zlib.compress(b""))),
        "picture png bomb": lambda: picture(png(20_000, 20_000)),
        "picture png large": lambda: picture(png(7_000, 7_000, colour=6)),
        "picture png words bomb": lambda: picture(png(4, 4, extra=chunk(b"zTXt", b"a\0\0" + zlib.compress(b"x" * 90_000_000)))),
        "picture png words long": lambda: picture(png(4, 4, extra=chunk(b"iTXt", b"a\0\0\0\0\0" + b"x" * 5_000_000))),
        "picture png profile broken": lambda: picture(png(4, 4, extra=chunk(b"iCCP", b"a\0\0" + zlib.compress(b"not a profile")))),
        "picture png profile bomb": lambda: picture(png(4, 4, extra=chunk(b"iCCP", b"a\0\0" + zlib.compress(b"x" * 90_000_000)))),
        "picture png animated": lambda: picture(frames("PNG")),
        "picture gif": lambda: picture(encoded("P", "GIF"), "image/gif"),
        "picture gif animated": lambda: picture(frames("GIF"), "image/gif"),
        "picture gif claiming": lambda: picture(
            b"GIF89a\xff\xff\xff\xff\x80\0\0" + b"\0" * 6 + b",\0\0\0\0\xff\xff\xff\xff\0\2\0;", "image/gif"
        ),
        "picture webp": lambda: picture(encoded("RGBA", "WEBP"), "image/webp"),
        "picture webp animated": lambda: picture(frames("WEBP"), "image/webp"),
        "picture webp cut": lambda: picture(encoded("RGBA", "WEBP", 64)[:40], "image/webp"),
        "picture bmp": lambda: picture(encoded("RGB", "BMP"), "image/bmp"),
        "picture tiff": lambda: picture(encoded("RGB", "TIFF"), "image/tiff"),
        "picture icon": lambda: picture(encoded("RGB", "ICO", 16), "image/x-icon"),
        "picture postscript": lambda: picture(b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "image/png"),
        "picture pdf": lambda: picture(b"%PDF-1.4\n", "application/pdf"),
        "picture of a wrong type": lambda: picture(SMALL, "image/jpeg"),
        "picture without type": lambda: picture(SMALL, ""),
        "picture of an odd type": lambda: picture(SMALL, "IMAGE/PNG;charset=utf-8;x=1"),
        "picture words": lambda: picture(b"hello"),
        "picture empty": lambda: picture(b""),
        "picture base64 broken": lambda: svg('<image width="9" height="9" href="data:image/png;base64,@@@@"/>'),
        "picture base64 spaced": lambda: svg(
            f'<image width="9" height="9" href="data:image/png;base64,\n{base64.encodebytes(SMALL).decode()}\n"/>'
        ),
        "picture base64 unpadded": lambda: svg(f'<image width="9" height="9" href="{uri(SMALL).rstrip("=")}"/>'),
        "picture base64 for addresses": lambda: svg(
            f'<image width="9" height="9" href="data:image/png;base64,{base64.urlsafe_b64encode(SMALL).decode()}"/>'
        ),
        "picture percent": lambda: svg(f'<image width="9" height="9" href="data:image/png,{quote(SMALL)}"/>'),
        "picture without comma": lambda: svg('<image width="9" height="9" href="data:image/png;base64"/>'),
        "picture many": lambda: svg(f'<image width="9" height="9" href="{uri(JPEG, "image/jpeg")}"/>' * 3000),
        "picture often large": lambda: svg(
            f'<image id="i" width="90" height="90" href="{uri(png(3000, 3000), "image/png")}"/>' + '<use href="#i"/>' * 300
        ),
        "picture without area": lambda: picture(SMALL, more='transform="scale(0)"'),
        "picture huge on the page": lambda: svg(f'<image width="9000000" height="9000000" href="{uri(SMALL)}"/>'),
        "picture tiny on the page": lambda: svg(f'<image width="0.0001" height="0.0001" href="{uri(png(2000, 2000))}"/>'),
        "picture negative": lambda: svg(f'<image width="-9" height="9" href="{uri(SMALL)}"/>'),
        "drawing in a drawing": lambda: nested(2),
        "drawings too deep": lambda: nested(8),
        "drawing packed in a drawing": lambda: picture(gzip.compress(svg(), mtime=0), "image/svg+xml"),
        "drawing bomb in a drawing": lambda: picture(gzip.compress(b"<svg>" + b" " * 90_000_000, mtime=0), "image/svg+xml"),
        "drawing in a drawing by percent": lambda: svg(
            f"<image width='9' height='9' href='data:image/svg+xml;utf8,{quote(svg().decode())}'/>"
        ),
        "drawing in a drawing plain": lambda: svg(
            '<image width=\'9\' height=\'9\' href=\'data:image/svg+xml;utf8,&lt;svg xmlns="http://www.w3.org/2000/svg" width="9" height="9">&lt;circle r="9"/>&lt;/svg>\'/>'
        ),
        "drawing in a drawing broken": lambda: picture(b"<svg><g>", "image/svg+xml"),
        "drawing of a huge page in a drawing": lambda: nested(1, svg(page='width="900000" height="900000"')),
        "drawings many in a drawing": lambda: svg(
            "".join(f'<image width="9" height="9" href="{uri(svg(f"<g id=%22g{n}%22/>"), "image/svg+xml")}"/>' for n in range(800))
        ),
        "picture in a pattern": lambda: svg(
            f'<pattern id="p" width="2" height="2" patternUnits="userSpaceOnUse"><image width="2" height="2" href="{uri(png(900, 900))}"/></pattern><rect width="100" height="100" fill="url(#p)"/>'
        ),
    },
)

TEXT = several(
    "any",
    "",
    {
        "text font missing": lambda: svg('<text y="50" font-family="No Such Face">abc</text>'),
        "text glyph missing": lambda: svg("<text y='50'>\U00013000 \U000e0041 \ufdd0</text>"),
        "text of two directions": lambda: svg("<text y='50'>abc \u202egnp.exe\u202c</text>"),
        "text unseen": lambda: svg("<text y='50'>a\u200b\u200d\ufeffb</text>"),
        "text of private use": lambda: svg("<text y='50'>\ue000\uf8ff</text>"),
        "text of marks": lambda: svg(f"<text y='50'>a{chr(0x301) * 20000}</text>"),
        "text long": lambda: svg(f"<text y='50'>{'words ' * 60000}</text>"),
        "text of many parts": lambda: svg(f"<text y='50'>{'<tspan>a</tspan>' * 30000}</text>"),
        "text parts deep": lambda: svg(f"<text y='50'>{'<tspan>' * 150}a{'</tspan>' * 150}</text>"),
        "text huge": lambda: svg("<text y='50' font-size='900000'>abc</text>"),
        "text tiny": lambda: svg("<text y='50' font-size='0.00001'>abc</text>"),
        "text negative": lambda: svg("<text y='50' font-size='-9'>abc</text>"),
        "text spaced": lambda: svg("<text y='50' letter-spacing='900000' word-spacing='-900000'>a b c</text>"),
        "text stretched": lambda: svg("<text y='50' textLength='900000'>abc</text>"),
        "text positions": lambda: svg(f"<text x='{'1 ' * 100000}' y='50' rotate='{'9 ' * 100000}'>abc</text>"),
        "text on a path": lambda: svg(
            f"<path id='p' d='M0 0{'L9 9L50 3' * 9000}' fill='none'/><text><textPath href='#p'>{'abc ' * 2000}</textPath></text>"
        ),
        "text upright": lambda: svg("<text y='50' writing-mode='tb' glyph-orientation-vertical='0'>abc</text>"),
        "text by svg font": lambda: svg(
            "<defs><font id='f'><font-face font-family='q'/><glyph unicode='a' d='M0 0h9v9z'/></font></defs><text font-family='q' y='50'>a</text>"
        ),
        "text by data font": lambda: svg(
            f"<style>@font-face{{font-family:q;src:url({uri(b'OTTO' + bytes(900), 'font/otf')})}}</style><text font-family='q' y='50'>a</text>"
        ),
        "text families many": lambda: svg(f"<text y='50' font-family='{','.join(f'f{n}' for n in range(20000))}'>a</text>"),
        "text family odd": lambda: svg("<text y='50' font-family='&quot;a\\&quot;;x:url(b)'>a</text>"),
        "text family long": lambda: svg(f"<text y='50' font-family='{'x' * 500000}'>a</text>"),
        "text arabic": lambda: svg("<text y='50'>\u0645\u0631\u062d\u0628\u0627</text>"),
        "text emoji": lambda: svg("<text y='50'>\U0001f469\u200d\U0001f469\u200d\U0001f467</text>"),
        "text of a name with controls": lambda: svg("<title>\u202e=cmd|' /C calc'!A0\u2066</title><text y='50' id='=1+1'>a</text>"),
    },
)

INK = several(
    "any",
    "",
    {
        "ink none": lambda: svg(keep=""),
        "ink off the page": lambda: svg('<rect x="500" y="500" width="9" height="9"/>', keep=""),
        "ink half off the page": lambda: svg('<rect x="-50" y="50" width="100" height="9"/>', keep=""),
        "ink transparent": lambda: svg('<rect width="9" height="9" opacity="0"/>', keep=""),
        "ink faint": lambda: svg('<rect width="9" height="9" fill-opacity="0.004"/>', keep=""),
        "ink hidden": lambda: svg(
            '<rect width="9" height="9" visibility="hidden"/><g display="none"><rect width="9" height="9"/></g>', keep=""
        ),
        "ink without paint": lambda: svg('<rect width="9" height="9" fill="none"/>', keep=""),
        "ink white": lambda: svg('<rect width="90" height="90" fill="#fff"/>', keep=""),
        "ink speck far off": lambda: svg('<rect x="99.99" y="99.99" width="0.005" height="0.005"/>'),
        "ink one hair": lambda: svg('<path d="M0 50H100" stroke="#000" stroke-width="0.00001"/>', keep=""),
        "ink clipped away": lambda: svg('<clipPath id="c"/><rect width="90" height="90" clip-path="url(#c)"/>', keep=""),
        "ink masked away": lambda: svg('<mask id="c"/><rect width="90" height="90" mask="url(#c)"/>', keep=""),
        "ink in definitions only": lambda: svg('<defs><rect width="9" height="9"/></defs>', keep=""),
        "ink background only": lambda: svg('<rect width="100" height="100" fill="#123456"/>', keep=""),
        "ink by animation only": lambda: svg('<rect width="0" height="9"><set attributeName="width" to="9"/></rect>', keep=""),
        "ink by web content only": lambda: svg(
            f'<foreignObject width="90" height="90"><p {XHTML}>abc</p></foreignObject>', keep=""
        ),
        "ink by script only": lambda: svg("<script>draw()</script>", keep=""),
    },
)

STYLES = several(
    "any",
    "",
    {
        "style rules many": lambda: css(
            "".join(f".c{n}{{fill:#{n % 4096:03x}}}" for n in range(3000)), "<rect class='c7' width='1' height='1'/>" * 3000
        ),
        "style rules too many": lambda: css(".a{fill:red}" * 100_000),
        "style selectors many": lambda: css(
            ",".join(f"a{n} b{n} c{n}" for n in range(6000)) + "{fill:red}", "<g><g><rect/></g></g>" * 5000
        ),
        "style descendants": lambda: svg(f"<style>{'* ' * 60}x{{fill:red}}</style>{'<g>' * 150}{'</g>' * 150}"),
        "style brothers": lambda: svg(f"<style>{'rect~' * 40}x{{fill:red}}</style>{'<rect/>' * 3000}"),
        "style of nth children": lambda: svg(
            "<style>rect:nth-child(2n+1):nth-last-child(3n){fill:red}</style>" + "<rect/>" * 20000
        ),
        "style has": lambda: svg(
            "<style>:has(:has(:has(rect))) rect{fill:red}</style>" + "<g>" * 50 + "<rect/>" * 2000 + "</g>" * 50
        ),
        "style not": lambda: css(":not(" * 3000 + "a" + ")" * 3000 + "{fill:red}"),
        "style media deep": lambda: css("@media all{" * 3000 + "}" * 3000),
        "style brackets": lambda: svg(f'<rect style="fill:{"(" * 50000}"/>'),
        "style variables doubled": lambda: css(
            ":root{--a0:1;"
            + "".join(f"--a{n}:var(--a{n - 1}) var(--a{n - 1});" for n in range(1, 90))
            + "}rect{stroke-width:var(--a89)}"
        ),
        "style variables in a circle": lambda: css(":root{--a:var(--b);--b:var(--a)}rect{fill:var(--a)}"),
        "style calc deep": lambda: css(f"rect{{width:{'calc(' * 3000}1px{')' * 3000}}}"),
        "style colours odd": lambda: css("rect{fill:rgb(1e99 nan -5);stroke:color-mix(in oklch,red 1e9%,hsl(1e300 5% 5%))}"),
        "style colours deep": lambda: svg(f'<rect width="9" height="9" fill="{"color-mix(in srgb," * 900}red{",red)" * 900}"/>'),
        "style comment open": lambda: css("/* " + "*" * 200000),
        "style string open": lambda: css("rect{fill:'" + "x" * 200000),
        "style escapes": lambda: css(r"\72 ect{\66 ill:\72 ed}" + "\\" * 50001),
        "style charset": lambda: css("@charset 'utf-7';@namespace x url(http://127.0.0.1:9/);rect{fill:red}"),
        "style attribute long": lambda: svg(f'<rect style="{"fill:red;" * 100000}"/>'),
        "style words odd": lambda: svg("<style>rect{fill:red}}}}{{{;;;]]>--></style>".replace("]]>", "]]&gt;")),
        "style class flood": lambda: svg(
            f'<style>.a{{fill:red}}</style><rect class="{" ".join(f"c{n}" for n in range(100000))}"/>'
        ),
        "style html comment": lambda: css("<!-- rect{fill:red} -->".replace("<", "&lt;")),
    },
)

MORE: tuple[Case, ...] = (*NUMBERS, *STROKES, *FILTERS, *ACTIVE, *LINKS, *PICTURES, *TEXT, *INK, *STYLES)
