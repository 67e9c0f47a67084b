"""A migration that makes all tables of an app at once."""

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import ProjectState


class OneStep(migrations.Migration):
    """Makes its tables as they stand after its last operation, from one picture of the models.

    Django draws that picture anew for each operation, which took most of the time of a new database: 94 tables, 20
    seconds. So this is for a migration that makes tables (CreateModel, and what AddField, AddIndex and AddConstraint
    add to them in the same migration) and runs code afterwards (RunPython), and for nothing else.
    """

    MAKES = (
        migrations.CreateModel,
        migrations.AddField,
        migrations.AddIndex,
        migrations.AddConstraint,
        migrations.RunPython,
    )

    def apply(
        self, project_state: ProjectState, schema_editor: BaseDatabaseSchemaEditor, collect_sql: bool = False
    ) -> ProjectState:
        if strange := [each for each in self.operations if not isinstance(each, self.MAKES)]:
            raise TypeError(f"{self} cannot do {type(strange[0]).__name__} in one step.")
        project_state.__dict__.pop("apps", None)  # drawn once, below
        for operation in self.operations:
            operation.state_forwards(self.app_label, project_state)
        for operation in self.operations:
            if isinstance(operation, migrations.CreateModel):
                schema_editor.create_model(project_state.apps.get_model(self.app_label, operation.name))
            elif isinstance(operation, migrations.RunPython):
                operation.database_forwards(self.app_label, schema_editor, project_state, project_state)
        return project_state
