"""``python -m benchcalc.files.schema``: the JSON Schema of a job file, to be kept in the assets."""

from benchcalc.jobfile.schema import schema_text

if __name__ == "__main__":
    print(schema_text(), end="")
