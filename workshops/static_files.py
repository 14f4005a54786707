"""Static files of the real site: a hash in every name, compressed beforehand."""

from whitenoise.compress import Compressor
from whitenoise.storage import CompressedManifestStaticFilesStorage


class StaticFiles(CompressedManifestStaticFilesStorage):
    """With gzip alone: Brotli's best saves little more here and takes many times as long.

    The site's start waits for this.
    """

    keep_only_hashed_files = True

    def create_compressor(self, **kwargs):
        return Compressor(use_brotli=False, **kwargs)
