"""Files with frames -> what each says of its frame, or in words why it says nothing."""

import unicodedata
from dataclasses import dataclass

from django.utils.translation import gettext

from planning.after.exif import FrameTags, frame_tags
from planning.after.jpeg import NotRead

MOST_NAME = 200
# What systems put beside files for themselves: nobody brought it in.
NOT_BROUGHT = ("thumbs.db", "desktop.ini", ".ds_store")


@dataclass(frozen=True)
class FrameFile:
    """One file, or one row of a table: its tags, or why there are none."""

    name: str
    tags: FrameTags | None = None
    why: str = ""


def read_jpeg(name: str, head: bytes, *, whole: bool = True) -> FrameFile:
    """Return what the head of a JPEG says. Raises MoreNeeded where a longer head may say more."""
    try:
        return FrameFile(plain(name), frame_tags(head, whole=whole))
    except NotRead as fault:
        return FrameFile(plain(name), why=gettext(fault.words.message))


def plain(name: str) -> str:
    """Return a file's name as it can be kept and shown: the end of it, where it is too long."""
    seen = unicodedata.normalize("NFC", name.encode("utf-8", "replace").decode())
    return "".join(one if one.isprintable() else "?" for one in seen)[-MOST_NAME:] or "?"


def base_name(name: str) -> str:
    """Return a file's name without its folders, whatever system wrote them."""
    return name.replace("\\", "/").rstrip("/").rpartition("/")[2] or name


def is_brought(name: str) -> bool:
    """Return whether somebody brought a file in, rather than a system for itself."""
    base = base_name(name)
    return not (base.startswith("._") or base.lower() in NOT_BROUGHT or "__MACOSX/" in name)
