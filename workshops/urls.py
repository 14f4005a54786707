"""All routes of the site; planning brings its own and the start page."""

from django.contrib import admin
from django.urls import include, path
from django.utils.translation import gettext_lazy as _

from workshops.views import accounts, house, kit, locations, people, workshops

admin.site.site_title = "One Stop Under"
admin.site.site_header = "One Stop Under"
admin.site.index_title = _("Records")

urlpatterns = [
    path("", include("planning.urls")),
    path("log-in/", accounts.LogIn.as_view(), name="log-in"),
    path("log-out/", accounts.views.LogoutView.as_view(), name="log-out"),
    path("account/", accounts.Account.as_view(), name="account"),
    path("account/password/", accounts.PasswordChange.as_view(), name="password-change"),
    path("password/", accounts.PasswordReset.as_view(), name="password-reset"),
    path("password/sent/", accounts.PasswordResetSent.as_view(), name="password-reset-sent"),
    path(
        "password/<uidb64>/<token>/",
        accounts.PasswordResetConfirm.as_view(),
        name="password-reset-confirm",
    ),
    path("house/", house.house_edit, name="house"),
    path("people/", people.people_list, name="people"),
    path("people/new/", people.person_new, name="person-new"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/edit/", people.person_edit, name="person-edit"),
    path("people/<int:pk>/delete/", people.person_delete, name="person-delete"),
    path("people/<int:pk>/cameras/new/", people.camera_new, name="camera-new"),
    path("cameras/<int:pk>/", people.camera_edit, name="camera-edit"),
    path("cameras/<int:pk>/delete/", people.camera_delete, name="camera-delete"),
    path("workshops/", workshops.workshops_list, name="workshops"),
    path("workshops/<int:pk>/", workshops.workshop, name="workshop"),
    path("locations/", locations.locations_list, name="locations"),
    path("kit/", kit.kit_list, name="kit"),
    path("kit/ready-made/", kit.kit_ready_made, name="kit-ready-made"),
    path("kit/new/", kit.kind_new, name="kind-new"),
    path("kit/new/<slug:what>/", kit.kind_new_of, name="kind-new-of"),
    path("kit/<int:pk>/", kit.kind, name="kind"),
    path("kit/<int:pk>/edit/", kit.kind_edit, name="kind-edit"),
    path("kit/<int:pk>/delete/", kit.kind_delete, name="kind-delete"),
    path("kit/<int:pk>/units/new/", kit.unit_new, name="unit-new"),
    path("kit/units/<int:pk>/", kit.unit_edit, name="unit-edit"),
    path("kit/units/<int:pk>/delete/", kit.unit_delete, name="unit-delete"),
    path("kit/<int:pk>/readings/new/", kit.guide_number_new, name="guide-number-new"),
    path("kit/readings/<int:pk>/delete/", kit.guide_number_delete, name="guide-number-delete"),
    path("admin/", admin.site.urls),
]
