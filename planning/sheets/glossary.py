"""Words of the trade as the texts of a handout use them, each with its meaning."""

from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

GLOSSARY = (
    (_("ambient"), _("the light that is there already")),
    (_("base"), _("the aperture at which the background looks right alone")),
    (_("key"), _("the light that makes the pattern on the face")),
    (_("fill"), _("what lightens the shadows of the key")),
    (_("rim"), _("a light from behind that draws an edge")),
    (_("ratio"), _("lit side to shadow side: 4:1 is two stops")),
    (pgettext_lazy("of light", "stop"), _("twice the light, or half of it")),
    (_("sync"), _("the fastest shutter at which the flash reaches the whole frame")),
    (_("high-speed sync"), _("a flash that glows while a faster slit passes")),
    (_("fall-off"), _("how fast light fades with distance")),
    (_("spill"), _("flash that lands where it was not meant to")),
    (_("ND"), _("grey glass on the lens: it takes light and no colour")),
    (_("gel"), _("a coloured sheet on the lamp")),
    (_("CTO"), _("a warming gel: quarter, half, full")),
    (_("incident"), _("a meter held in the light, its dome open to it")),
    (_("spot"), _("a meter pointed at a small patch")),
    (_("guide number"), _("distance times f-number at ISO 100, full power")),
)
