using System.Text.RegularExpressions;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>What lies in the repository, and what must not.</summary>
public sealed partial class TreeTests
{
    [Fact]
    public void The_top_level_holds_these_and_nothing_else() =>
        Assert.Equal(
            [
                ".ci", ".config", ".dockerignore", ".editorconfig", ".gitattributes", ".gitignore",
                "AgeWatch.sln", "DEVELOPERS.md", "Directory.Build.props", "Directory.Packages.props", "LICENSE",
                "README.md",
                "docker-compose.yml", "global.json", "http-examples", "migrations", "src", "tests",
            ],
            Repository.Files().Select(file => file.Split('/')[0]).Distinct().Order(StringComparer.Ordinal));

    /// <summary>A path of one machine, or the host that one machine fetches packages from, breaks every other
    /// machine.</summary>
    [Fact]
    public void No_file_names_a_machine_or_a_package_host()
    {
        var faults =
            from file in Repository.Files()
            where !file.EndsWith(".png", StringComparison.Ordinal) && File.Exists(Repository.PathOf(file))
            from line in File.ReadLines(Repository.PathOf(file)).Index()
            where MachineOrHost().IsMatch(line.Item)
            select $"{file}:{line.Index + 1}";

        Assert.Empty(faults);
    }

    // The slashes and dots are bracketed so that this line does not match itself.
    [GeneratedRegex("(^|[^A-Za-z0-9_.])[/](work|root|home|Users)[/]|npmjs[.]org|nuget[.]org|deb[.]debian[.]|pypi[.]org|\"resolved\": \"http")]
    private static partial Regex MachineOrHost();
}
