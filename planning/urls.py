"""The start page, the sets of a workshop, their sheets and readings."""

from django.urls import path

from planning.views import (
    horizon,
    invoices,
    joining,
    kit_papers,
    match,
    papers,
    readings,
    sets,
    sheets,
    start,
    suggested_kit,
)

urlpatterns = [
    path("", start.start, name="start"),
    path("workshops/<int:pk>/joining/", joining.workshop_joining, name="workshop-joining"),
    path("workshops/<int:pk>/kit/suggested/", suggested_kit.suggested_kit, name="suggested-kit"),
    path("workshops/<int:pk>/sets/", sets.sets, name="sets"),
    path("workshops/<int:pk>/sets/new/", sets.set_new, name="set-new"),
    path("workshops/<int:pk>/sets/new/plan/", sets.set_new_plan, name="set-new-plan"),
    path("workshops/<int:pk>/sets/sheets.pdf", sheets.workshop_sheets, name="workshop-sheets"),
    path("workshops/<int:pk>/match/", match.workshop_match, name="workshop-match"),
    path("workshops/<int:pk>/match/settle/", match.match_settle, name="match-settle"),
    path("bookings/<int:pk>/rehearsal/", match.rehearsal, name="rehearsal"),
    path("workshops/<int:pk>/sign-out.pdf", kit_papers.sign_out_sheet, name="sign-out-sheet"),
    path("workshops/<int:pk>/risk.pdf", papers.workshop_risk, name="workshop-risk"),
    path("workshops/<int:pk>/tally.pdf", papers.workshop_tally, name="workshop-tally"),
    path("sets/<int:pk>/tally.pdf", papers.set_tally, name="set-tally"),
    path("locations/<int:pk>/risk.pdf", papers.location_risk, name="location-risk"),
    path("kit/labels/", kit_papers.labels, name="labels"),
    path("sets/<int:pk>/", sets.set_page, name="set"),
    path("sets/<int:pk>/plan/", sets.set_plan, name="set-plan"),
    path("sets/<int:pk>/sheet.pdf", sheets.set_sheet, name="set-sheet"),
    path("sets/<int:pk>/copy/", sets.set_copy, name="set-copy"),
    path("sets/<int:pk>/delete/", sets.set_delete, name="set-delete"),
    path("sets/<int:pk>/readings/new/", readings.reading_new, name="reading-new"),
    path("readings/<int:pk>/delete/", readings.reading_delete, name="reading-delete"),
    path("invoices/<int:pk>/sheet.pdf", invoices.invoice_sheet, name="invoice-sheet"),
    path("payments/<int:pk>/receipt.pdf", invoices.payment_receipt, name="payment-receipt"),
    path("locations/<int:pk>/horizon.svg", horizon.horizon_drawing, name="horizon-drawing"),
    path("locations/horizon/", horizon.horizon_preview, name="horizon-preview"),
    path("locations/<int:pk>/readings/new/", readings.recce_reading_new, name="recce-reading-new"),
]
