"""Who leads, asked by a template that offers what only the lead may open."""

from django import template

from workshops.access import leads

register = template.Library()
register.filter("leads", leads)
