"""A place has all that follows from it, or there is none."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("finds", "0014_wide_cells_of_finds")]

    operations = [
        migrations.RemoveConstraint(
            model_name="find",
            name="find_square_with_place",
        ),
        migrations.AddConstraint(
            model_name="find",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("cell__isnull", True),
                        ("lat__isnull", True),
                        ("square_cell__isnull", True),
                        ("square_lat__isnull", True),
                        ("square_wide_cell__isnull", True),
                        ("wide_cell__isnull", True),
                    ),
                    models.Q(
                        ("cell__isnull", False),
                        ("lat__isnull", False),
                        ("square_cell__isnull", False),
                        ("square_lat__isnull", False),
                        ("square_wide_cell__isnull", False),
                        ("wide_cell__isnull", False),
                    ),
                    _connector="OR",
                ),
                name="find_square_with_place",
            ),
        ),
    ]
