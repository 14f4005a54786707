"""All routes of the site; planning brings its own and the start page."""

from django.contrib import admin
from django.contrib.auth.decorators import login_not_required
from django.shortcuts import redirect
from django.templatetags.static import static
from django.urls import include, path
from django.utils.translation import gettext_lazy as _

from workshops.views import (
    accounts,
    bookings,
    history,
    house,
    invoices,
    kit,
    locations,
    money,
    people,
    place_parts,
    roles,
    staff,
    terms,
    workshops,
)

admin.site.site_title = "One Stop Under"
admin.site.site_header = "One Stop Under"
admin.site.index_title = _("Records")

# A browser asks for this name by itself where no page names an icon, such as beside a PDF.
favicon = login_not_required(lambda request: redirect(static("site/icon.png")))

urlpatterns = [
    path("favicon.ico", favicon, name="favicon"),
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
    path("accounts/", staff.accounts, name="accounts"),
    path("accounts/new/", staff.account_new, name="account-new"),
    path("accounts/<int:pk>/", staff.account_edit, name="account-edit"),
    path("accounts/<int:pk>/invite/", staff.account_invite, name="account-invite"),
    path("history/<str:kind>/<int:pk>/", history.record_history, name="history"),
    path("house/", house.house_edit, name="house"),
    path("house/terms/", terms.terms_list, name="terms"),
    path("house/terms/new/", terms.terms_new, name="terms-new"),
    path("house/terms/<int:pk>/", terms.terms_edit, name="terms-edit"),
    path("house/terms/<int:pk>/delete/", terms.terms_delete, name="terms-delete"),
    path("people/", people.people_list, name="people"),
    path("people/new/", people.person_new, name="person-new"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/edit/", people.person_edit, name="person-edit"),
    path("people/<int:pk>/delete/", people.person_delete, name="person-delete"),
    path("people/<int:pk>/cameras/new/", people.camera_new, name="camera-new"),
    path("cameras/<int:pk>/", people.camera_edit, name="camera-edit"),
    path("cameras/<int:pk>/delete/", people.camera_delete, name="camera-delete"),
    path("workshops/", workshops.workshops, name="workshops"),
    path("workshops/new/", workshops.workshop_new, name="workshop-new"),
    path("workshops/<int:pk>/", workshops.workshop, name="workshop"),
    path("workshops/<int:pk>/edit/", workshops.workshop_edit, name="workshop-edit"),
    path("workshops/<int:pk>/delete/", workshops.workshop_delete, name="workshop-delete"),
    path("workshops/<int:pk>/kit/", workshops.workshop_kit, name="workshop-kit"),
    path("workshops/<int:pk>/roles/new/", roles.role_new, name="role-new"),
    path("roles/<int:pk>/", roles.role_edit, name="role-edit"),
    path("roles/<int:pk>/delete/", roles.role_delete, name="role-delete"),
    path("workshops/<int:pk>/bookings/new/", bookings.booking_new, name="booking-new"),
    path("bookings/<int:pk>/", bookings.booking_edit, name="booking-edit"),
    path("bookings/<int:pk>/confirm/", bookings.booking_confirm, name="booking-confirm"),
    path("bookings/<int:pk>/cancel/", bookings.booking_cancel, name="booking-cancel"),
    path("workshops/<int:pk>/money/", money.workshop_money, name="workshop-money"),
    path(
        "workshops/<int:pk>/money/called-off/",
        money.workshop_called_off,
        name="workshop-called-off",
    ),
    path("workshops/<int:pk>/costs/new/", money.cost_new, name="cost-new"),
    path("costs/<int:pk>/", money.cost_edit, name="cost"),
    path("costs/<int:pk>/delete/", money.cost_delete, name="cost-delete"),
    path("bookings/<int:pk>/money/", money.booking_money, name="booking-money"),
    path("bookings/<int:pk>/payments/new/", money.payment_new, name="payment-new"),
    path("payments/<int:pk>/correct/", money.payment_correct, name="payment-correct"),
    path("bookings/<int:pk>/invoices/new/", invoices.invoice_new, name="invoice-new"),
    path("invoices/<int:pk>/credit/", invoices.invoice_credit, name="invoice-credit"),
    path("locations/", locations.location_list, name="locations"),
    path("locations/new/", locations.location_new, name="location-new"),
    path("locations/<int:pk>/", locations.location, name="location"),
    path("locations/<int:pk>/edit/", locations.location_edit, name="location-edit"),
    path("locations/<int:pk>/delete/", locations.location_delete, name="location-delete"),
    path("locations/<int:pk>/forecasts/new/", place_parts.forecast_new, name="forecast-new"),
    path("locations/<int:pk>/tides/new/", place_parts.tide_new, name="tide-new"),
    path("locations/<int:pk>/landmarks/new/", place_parts.landmark_new, name="landmark-new"),
    path("forecasts/<int:pk>/", place_parts.forecast_edit, name="forecast-edit"),
    path("forecasts/<int:pk>/delete/", place_parts.forecast_delete, name="forecast-delete"),
    path("tides/<int:pk>/delete/", place_parts.tide_delete, name="tide-delete"),
    path("landmarks/<int:pk>/", place_parts.landmark_edit, name="landmark-edit"),
    path("landmarks/<int:pk>/delete/", place_parts.landmark_delete, name="landmark-delete"),
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
