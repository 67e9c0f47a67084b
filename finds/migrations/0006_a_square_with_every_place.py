"""No find has a place without its square, or a square without a place."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("finds", "0005_squares_of_finds")]
    operations = [
        migrations.AddConstraint(
            model_name="find",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("lat__isnull", True), ("square_lat__isnull", True)),
                    models.Q(("lat__isnull", False), ("square_lat__isnull", False)),
                    _connector="OR",
                ),
                name="find_square_with_place",
            ),
        ),
    ]
