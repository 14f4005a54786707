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
    path("admin/", admin.site.urls),
]
