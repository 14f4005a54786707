"""The form of an account: who may log in, as what, and who of the people that is."""

from django import forms
from django.utils.text import capfirst

from workshops.forms.base import plain_helper
from workshops.models import Person, User


class AccountForm(forms.ModelForm):
    class Meta:
        model = User
        fields = ("email", "name", "role", "person", "is_active")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.helper = plain_helper()
        for field in self.fields.values():
            field.label = capfirst(field.label)
        taken = User.objects.exclude(pk=self.instance.pk).exclude(person=None)
        self.fields["person"].queryset = Person.objects.exclude(pk__in=taken.values("person"))
        if self.instance.pk is None:
            del self.fields["is_active"]  # a new account may log in
