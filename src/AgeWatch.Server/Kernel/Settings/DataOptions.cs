using System.ComponentModel.DataAnnotations;
using System.Data.Common;
using AgeWatch.Storage;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>Where the data live.</summary>
internal sealed record DataOptions : IValidatableObject
{
    [Required(ErrorMessage = "AGEWATCH_DATA must name a folder.")]
    public string Data { get; init; } = "./data";

    public string? Database { get; init; }

    public string Folder => Path.GetFullPath(Data);

    public DatabaseKind Kind => string.IsNullOrWhiteSpace(Database) ? DatabaseKind.Sqlite : DatabaseKind.Postgres;

    public string Connection => Kind == DatabaseKind.Postgres
        ? Database!
        : Storage.Database.SqliteConnection(Path.Combine(Folder, "agewatch.db"));

    public IEnumerable<ValidationResult> Validate(ValidationContext validationContext)
    {
        if (Kind == DatabaseKind.Postgres && !NamesHost(Database!))
        {
            yield return new("AGEWATCH_DATABASE must be a PostgreSQL connection string such as "
                + "\"Host=db;Database=agewatch;Username=agewatch;Password=…\".");
        }
    }

    private static bool NamesHost(string connection)
    {
        try
        {
            var parts = new DbConnectionStringBuilder { ConnectionString = connection };
            return parts.ContainsKey("Host") || parts.ContainsKey("Server");
        }
        catch (ArgumentException)
        {
            return false;
        }
    }
}
