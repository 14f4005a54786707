"""Text that the database holds encrypted, its keys outside the database."""

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from django.conf import settings
from django.db import models
from django.views.decorators.debug import sensitive_variables


def _keys() -> MultiFernet:
    return MultiFernet([Fernet(key) for key in settings.FIELD_KEYS])


class EncryptedTextField(models.TextField):
    """Text encrypted with the first of FIELD_KEYS; older keys still read what they wrote.

    Source: Fernet (AES-128-CBC and HMAC-SHA256), specification of 2013. Without the key the
    value is None: it is gone, not broken.
    """

    @sensitive_variables("value")
    def get_prep_value(self, value):
        value = super().get_prep_value(value)
        return _keys().encrypt(value.encode()).decode() if value else value

    def from_db_value(self, value, expression, connection):
        if not value:
            return value
        try:
            return _keys().decrypt(value.encode()).decode()
        except InvalidToken:
            return None

    def value_to_string(self, obj):
        """Return what a dump of the records holds: no more than the database does."""
        return self.get_prep_value(self.value_from_object(obj))

    @sensitive_variables("value")
    def to_python(self, value):
        """Return the text; what a dump held is decrypted, what was typed never is such a token."""
        value = super().to_python(value)
        return (self.from_db_value(value, None, None) or value) if value else value
