"""A QR code as a drawing (ISO/IEC 18004), black on white, quiet zone and all."""

from itertools import groupby

import segno

from planning.drawings import svg

QUIET = 4  # modules of white all round (ISO/IEC 18004, 9.1)


def code(text: str, size_mm: float, title: str) -> str:
    """Return a square of ``size_mm``, quiet zone included, that a phone reads as ``text``.

    Error correction is of level M: it still reads with about 15 % of it scuffed.
    """
    modules = segno.make_qr(text, error="m", boost_error=False).matrix
    one_mm = size_mm / (len(modules) + 2 * QUIET)
    bars = []
    for down, row in enumerate(modules):
        across = 0
        for dark, run in groupby(row):
            n = len(list(run))
            if dark:
                bars.append(f"M{across + QUIET} {down + QUIET}h{n}v1h-{n}z")
            across += n
    # Whole modules inside, scaled once: no seam by rounding between one bar and the next.
    dots = svg.element("path", d="".join(bars), fill="black", transform=f"scale({one_mm:.6f})")
    return svg.document(size_mm, size_mm, title, [dots])
