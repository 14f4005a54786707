"""What was noted on a day, by its name: ``{{ sky|sky_name }}``."""

from django import template

from planning.tally_words import cause_words, sky_words

register = template.Library()
register.filter("sky_name", sky_words)
register.filter("cause_name", cause_words)
