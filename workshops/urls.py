"""All routes of the site."""

from django.contrib import admin
from django.urls import path
from django.utils.translation import gettext_lazy as _
from django.views.generic import RedirectView

admin.site.site_title = "One Stop Under"
admin.site.site_header = "One Stop Under"
admin.site.index_title = _("Records")
admin.site.site_url = None  # the start page leads here, so a link to it would go in a circle

urlpatterns = [
    path("", RedirectView.as_view(pattern_name="admin:index"), name="start"),
    path("admin/", admin.site.urls),
]
