"""What the field page keeps: records that wait for a person, and parts of photographs."""
