"""How many files a form may send: few, unless a page reads them in a way of its own."""

from django.core.exceptions import TooManyFilesSent
from django.core.files.uploadhandler import FileUploadHandler

MOST_FILES = 100


class FewFiles(FileUploadHandler):
    """Stands before the handlers that keep files in memory and on disk, and counts.

    The setting DATA_UPLOAD_MAX_NUMBER_FILES is higher, for the one page that keeps none of them.
    """

    def __init__(self, request=None):
        super().__init__(request)
        self._count = 0

    def new_file(self, *args, **kwargs):
        super().new_file(*args, **kwargs)
        self._count += 1
        if self._count > MOST_FILES:
            raise TooManyFilesSent(f"more than {MOST_FILES} files in one form")

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        return raw_data

    def file_complete(self, file_size: int) -> None:
        return None
