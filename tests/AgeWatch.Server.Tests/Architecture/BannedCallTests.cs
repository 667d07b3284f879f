using System.Reflection.Metadata;
using System.Reflection.PortableExecutable;
using AgeWatch.Core;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>Which members of the base library the compiled code mentions: what is not mentioned is not
/// called.</summary>
public sealed class BannedCallTests
{
    private static readonly string[] Clocks =
    [
        "System.DateTime.get_Now", "System.DateTime.get_UtcNow", "System.DateTime.get_Today",
        "System.DateTimeOffset.get_Now", "System.DateTimeOffset.get_UtcNow",
        "NodaTime.SystemClock.",
    ];

    private static readonly string[] OutsideWorld =
    [
        "System.TimeProvider.", "System.Environment.", "System.TimeZoneInfo.", "System.Random.", "System.Console.",
        "System.Guid.NewGuid", "System.Guid.CreateVersion7",
        "System.Diagnostics.Stopwatch.", "System.Diagnostics.Process.", "System.Threading.Thread.Sleep",
        "System.IO.File.", "System.IO.FileInfo.", "System.IO.FileStream.", "System.IO.Directory.",
        "System.IO.DirectoryInfo.",
        "System.Net.Http.", "System.Net.Sockets.", "System.Net.Dns.",
    ];

    public static TheoryData<string> Ours =>
        [typeof(DateSpan)
            .Assembly.Location, typeof(AgeWatchContext)
            .Assembly.Location, typeof(Program)
            .Assembly.Location];

    [Theory, MemberData(nameof(Ours))]
    public void No_clock_but_the_time_provider(string assembly) => AssertNone(assembly, Clocks);

    [Fact]
    public void Core_is_told_the_day_and_touches_nothing() =>
        AssertNone(typeof(DateSpan).Assembly.Location, OutsideWorld);

    /// <summary>The reader of these tests sees calls at all: this assembly makes one of each sort.</summary>
    [Fact]
    public void A_call_is_seen()
    {
        Assert.NotEqual(default, DateTime.UtcNow);
        Assert.NotEqual(Guid.Empty, Guid.NewGuid());

        var mentioned = Mentioned(typeof(BannedCallTests).Assembly.Location);

        Assert.Contains("System.DateTime.get_UtcNow", mentioned);
        Assert.Contains("System.Guid.NewGuid", mentioned);
        Assert.Contains(mentioned, member => member.StartsWith("System.IO.File.", StringComparison.Ordinal));
    }

    private static void AssertNone(string assembly, string[] banned) =>
        Assert.Empty(Mentioned(assembly).Where(member => banned.Any(ban =>
            ban.EndsWith('.') ? member.StartsWith(ban, StringComparison.Ordinal) : member == ban)));

    private static HashSet<string> Mentioned(string assembly)
    {
        using PEReader file = new(File.OpenRead(assembly));
        var metadata = file.GetMetadataReader();
        HashSet<string> members = [];
        foreach (var handle in metadata.MemberReferences)
        {
            var member = metadata.GetMemberReference(handle);
            if (member.Parent.Kind == HandleKind.TypeReference)
            {
                var type = metadata.GetTypeReference((TypeReferenceHandle)member.Parent);
                members.Add($"{metadata.GetString(type.Namespace)}.{metadata.GetString(type.Name)}.{metadata.GetString(member.Name)}");
            }
        }

        // The compiler puts this one into every iterator.
        members.Remove("System.Environment.get_CurrentManagedThreadId");
        return members;
    }
}
