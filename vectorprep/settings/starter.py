"""A commented settings file to start from.

Comes in: nothing.
Goes out: TOML text in which every line is switched off by a `#`.
Never done here: writing the file.
"""

from __future__ import annotations

STARTER = """\
# vectorprep.toml: what is to be made of the drawings in this folder.
# Every line is off; take away its # to use it. Lengths are written "12in" or "300mm", colours "#1b2340".

# What to make, for which product colours (keys, "#rrggbb", or pale, dark, all).
# products = ["tee-adult-front-dtg", "mug-11oz-wrap-sub", "sticker-kiss-cut", "poster-iso-a3"]
# blanks = ["white", "navy", "black"]
# profiles = ["my-profiles"]          # folders with product files of your own
# fonts = ["my-fonts"]                # folders with font files

# How it is placed.
# garment_size = "M"                  # which ideal width of a product's table
# canvas = "full"                     # or "trimmed": the file ends where the ink ends
# fit = "contain"                     # or "cover", for posters, wraps, cases and patches
# border = "paper"                    # stickers: or "art", the edge colours run on past the cut
# ground = "plate"                    # posters: the art's own plain background runs on to the edge; or "paper"
# optical_centring = false            # shift art whose weight lies on one side
# faces = "centre"                    # mugs: centre, both, left, right

# What may happen to inks that would not be seen, in this order.
# treatments = ["neutral-swap", "shift", "keyline"]
# standard_light = "#fafaf8"
# standard_dark = "#1a1a1a"
# shift_cap = 12                      # how far a colour may move, CIEDE2000
# keyline = true                      # false: never draw an outline
# keyline_mm = 0.6
# single_ink = "#1a1a1a"              # print everything in this one ink; "auto" takes standard light or dark
# plate = false                       # true: a picture in one ink also comes black on white, for a stencil or film
# see_through = "keep"                # "cut" at half strength, or dots of full ink: "halftone", "stipple"
# clear_mist = false                  # true: ink too faint to be seen is cleared
# edge_colour = false                 # true: edge colours reach into transparent pixels, so that a resize makes no fringe
# knock_out_black = false             # true: black is left out on black cloth
# white_base = false                  # true: the white base comes as a file of its own, pulled in by the choke
# spot_inks = { "Signal red" = "#b3202c", "Sand" = "#f2c878" }   # the pots of a spot print; other colours become dots of two
# locked_inks = ["#ffcc00"]           # inks that never change
# enclosed_white = "ink"              # or "see-through": white inside the art is the cloth

# How drawings are read.
# background = "keep"                 # or "drop": a plain plate behind the art goes
# page = "clip"                       # or "recover": ink beyond the page is printed too

# How the run behaves.
# preview_long_side_px = 2000
# preview_trimmed = false
# press = "press.icc"                 # ICC profile of your printer's press: inks it cannot print are named
# total_ink_limit_percent = 300       # with a CMYK profile
# strict = false                      # judge by the 3:1 ratio of WCAG
# fail_on = "error"                   # note, warning, error, never
# accept = ["contrast-hue-only"]      # findings that you have seen and accept
# jobs = 0                            # 0: as many as the machine bears
# engine = "resvg"
# licences_required = false         # true: every drawing has to name its assets and their licences
# review = true                       # false: no review sheet, no small pictures for it

# What the shop's listing says. listing.csv has all fields unless columns are named here.
# not_offered = ["brown"]             # blanks that the shop does not offer, whatever their verdict
# [listing]
# author = "..."
# licence = "..."
# notes = "Printed to order."
# tags = ["gift"]
# [listing.columns]
# "Product title" = "{title}"
# "Details" = "{notes} Printed size {printed_in} in."

# What you may sell of what others have made.
# [licences."Some Typeface"]
# status = "ok"                       # or "ask", "blocked"
# licence = "OFL-1.1"
# commercial_goods = true
# evidence = "receipts/typeface.txt"

# One product differs from the rest.
# [on.mug-11oz-wrap-sub]
# faces = "both"
# nudge = ["0mm", "-3mm"]             # right, down

# One drawing differs from the rest.
# [artworks."fox_camp-fire"]
# title = "Fox by the Fire"
# width = "9in"                       # or "original"; or scale = 0.8
# nudge = ["0in", "0.5in"]
# products = ["tee-adult-front-dtg"]
# blanks = ["dark"]
# units_per_inch = 96
# see_through = "keep"                # "cut" at half strength, or dots of full ink: "halftone", "stipple"
# clear_mist = false                  # true: ink too faint to be seen is cleared
# edge_colour = false                 # true: edge colours reach into transparent pixels, so that a resize makes no fringe
# knock_out_black = false             # true: black is left out on black cloth
# white_base = false                  # true: the white base comes as a file of its own, pulled in by the choke
# locked_inks = ["#e2672b"]
# accept = ["ink-touches-page-edge"]
# assets = ["Some Typeface"]          # fonts, photographs, textures of others; or ["own work"]
# decided_for = "..."                 # written by 'decide': the drawing's SHA-256 that the table was decided for

# [artworks."fox_camp-fire".colours.dark]    # or .colours.navy, or .colours for every blank
# "#3b2a1a" = "#f4e2c8"

# [artworks."fox_camp-fire".variants]
# navy = "fox-light.svg"              # your own drawing for this blank

# [artworks."fox_camp-fire".listing]
# alt = "A fox by a camp fire, printed on a shirt"
# tags = ["fox", "camping"]

# [artworks."fox_camp-fire".on.mug-11oz-wrap-sub]
# width = "70mm"
"""
