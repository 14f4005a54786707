"""What somebody may type or paste into any field."""

ABSURD = (
    "<script>alert(1)</script>",
    'O\'Neil "Octa" & Söhne',
    "\u202eright to left",
    "x" * 5000,
    "50,7351",
    "nul\x00byte",
    "octa \N{CAMERA WITH FLASH}",
    "-5",
    "1e999",
    "nan",
    " ",
)
