"""Building the demo is all or nothing."""

import pytest

from planning import demo
from workshops.models import User, Workshop


@pytest.mark.database
@pytest.mark.django_db
def test_interrupted_half_way_nothing_is_left_and_it_can_be_built_again(tmp_path):
    def interrupt(part):
        if part.startswith("places"):
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        demo.build(log_ins=tmp_path / "log-ins.txt", report=interrupt)
    assert not Workshop.objects.exists()
    assert not User.objects.exists()
    demo.build(log_ins=tmp_path / "log-ins.txt", report=lambda part: None)
    assert Workshop.objects.count() == 3
