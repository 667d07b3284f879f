using System.Reflection;
using System.Xml.Linq;
using AgeWatch.Core;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>Core &lt;- Storage &lt;- Migrations.* &lt;- Server: nothing points the other way.</summary>
public sealed class ReferenceRuleTests
{
    [Theory]
    [InlineData("src/AgeWatch.Core")]
    [InlineData("src/AgeWatch.Storage", "AgeWatch.Core")]
    [InlineData("migrations/AgeWatch.Migrations.Sqlite", "AgeWatch.Storage")]
    [InlineData("migrations/AgeWatch.Migrations.Postgres", "AgeWatch.Storage")]
    [InlineData(
        "src/AgeWatch.Server", "AgeWatch.Core", "AgeWatch.Storage", "AgeWatch.Migrations.Sqlite",
        "AgeWatch.Migrations.Postgres")]
    [InlineData("tests/AgeWatch.Core.Tests", "AgeWatch.Core")]
    [InlineData("tests/AgeWatch.TestWorker", "AgeWatch.Server")]
    [InlineData("tests/AgeWatch.Server.Tests", "AgeWatch.Server", "AgeWatch.TestWorker")]
    public void A_project_refers_to_these_and_no_others(string folder, params string[] allowed) =>
        Assert.Equal(allowed.Order(), References(folder, "ProjectReference")
            .Select(path => Path.GetFileNameWithoutExtension(path))
            .Order());

    [Fact]
    public void Core_needs_no_package_but_the_statistics() =>
        Assert.Equal(["MathNet.Numerics"], References("src/AgeWatch.Core", "PackageReference"));

    [Fact]
    public void Storage_knows_no_web_server_no_jobs_and_no_log() =>
        Assert.DoesNotContain(
            References("src/AgeWatch.Storage", "PackageReference"),
            package => package.StartsWith("Microsoft.AspNetCore", StringComparison.Ordinal)
                || package.StartsWith("Hangfire", StringComparison.Ordinal)
                || package.StartsWith("Serilog", StringComparison.Ordinal));

    [Fact]
    public void What_was_compiled_keeps_the_rule_too()
    {
        Assert.All(
            Names(typeof(DateSpan).Assembly),
            name => Assert.True(name is "MathNet.Numerics" || IsBaseLibrary(name), $"AgeWatch.Core refers to {name}."));
        Assert.All(
            Names(typeof(AgeWatchContext).Assembly),
            name => Assert.True(
                name is "AgeWatch.Core" or "Npgsql" or "EFCore.NamingConventions" or "Microsoft.Data.Sqlite"
                    || IsBaseLibrary(name)
                    || IsEntityFramework(name),
                $"AgeWatch.Storage refers to {name}."));
        Assert.All(
            new[] { "AgeWatch.Migrations.Sqlite", "AgeWatch.Migrations.Postgres" }.SelectMany(project =>
                Names(Assembly.Load(project))),
            name => Assert.True(
                name is "AgeWatch.Core" or "AgeWatch.Storage" or "Npgsql"
                    || IsBaseLibrary(name)
                    || IsEntityFramework(name),
                $"A migrations project refers to {name}."));
    }

    private static IEnumerable<string> References(string folder, string element)
    {
        var project = Path.Combine(folder, Path.GetFileName(folder) + ".csproj");
        return XDocument.Load(Repository.PathOf(project))
            .Descendants(element)
            .Select(reference => reference.Attribute("Include")!.Value.Replace('\\', '/'));
    }

    private static IEnumerable<string> Names(Assembly assembly) =>
        assembly.GetReferencedAssemblies().Select(name => name.Name!);

    private static bool IsBaseLibrary(string name) =>
        name is "netstandard" or "mscorlib" || name.StartsWith("System.", StringComparison.Ordinal);

    private static bool IsEntityFramework(string name) =>
        name.StartsWith("Microsoft.EntityFrameworkCore", StringComparison.Ordinal)
            || name is "Npgsql.EntityFrameworkCore.PostgreSQL";
}
