namespace AgeWatch.Storage;

public enum DatabaseKind
{
    Sqlite,
    Postgres,
}
