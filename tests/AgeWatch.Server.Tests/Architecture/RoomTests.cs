using System.Collections.Concurrent;
using System.Text.RegularExpressions;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>
/// The rooms of a project refer to each other in one direction. A room is a first-level folder; of a folder that holds
/// no file of its own, each folder in it is one. Arrows are read twice: from the text, which shows what is only named
/// in a comment or a constant, and from the compiled code, which shows what the text leaves to inference.
/// </summary>
public sealed partial class RoomTests
{
    private static readonly ConcurrentDictionary<string, IReadOnlySet<string>> FoldersOf = [];

    /// <summary>Each project's rooms, from what knows nothing to what knows most.</summary>
    private static readonly Dictionary<string, string[]> Orders = new()
    {
        ["AgeWatch.Core"] = ["Catalogue", "Marks", "Usage", "Due", "Records", "Telling", "WalkRounds"],
        ["AgeWatch.Server"] =
        [
            "Kernel/Settings", "Kernel/Secrets", "Kernel/Time", "Kernel/Http", "Kernel/Checks", "Kernel/Pages",
            "Answers", "Recording", "Digests",
            "Resources/Vehicles", "Resources/Components", "Resources/Services", "Resources/Calculations",
            "Resources/Conventions", "Resources/PartKinds", "Resources/Events", "Resources/Subscriptions",
            "Resources/Due", "Resources/WalkRounds", "Resources/StatusLists", "Resources/Imports",
            "Resources/Members", "Outbox", "Mail", "Webhooks", "Feeds",
            "Nights", "Resources/Nights", "Resources/Digests",
            "Metrics", "Demo", "Hosting",
        ],
    };

    [Theory]
    [InlineData("AgeWatch.Core")]
    [InlineData("AgeWatch.Storage")]
    [InlineData("AgeWatch.Server")]
    public void No_room_reaches_itself_through_others(string project)
    {
        var arrows = Arrows(project);

        Assert.NotEmpty(arrows);
        Assert.All(arrows.Keys, room => Assert.False(
            Reaches(arrows, room, room), $"{project}: {room} reaches itself: {Drawn(arrows)}"));
    }

    [Theory]
    [InlineData("AgeWatch.Core")]
    [InlineData("AgeWatch.Server")]
    public void Every_arrow_points_to_an_earlier_room(string project)
    {
        var order = Orders[project];

        var wrong =
            from arrow in Arrows(project)
            from target in arrow.Value
            where Array.IndexOf(order, target) >= Array.IndexOf(order, arrow.Key)
            select $"{arrow.Key} -> {target}";

        Assert.Empty(wrong);
        Assert.Equal(order.Order(), Rooms(project).Order());
    }

    private static HashSet<string> Rooms(string project) =>
        [.. Folders(project).Select(folder => RoomOf(project, folder))];

    private static Dictionary<string, HashSet<string>> Arrows(string project)
    {
        var named =
            from path in Sources(project)
            from Match match in Names().Matches(File.ReadAllText(Repository.PathOf(path)))
            select (From: Namespace(project, path), To: match.Value);
        var compiled =
            from pair in CompiledReferences.Of(Path.Combine(AppContext.BaseDirectory, project + ".dll"))
            select (From: Parent(pair.From, '.'), To: Parent(pair.To, '.'));

        return named.Concat(compiled)
            .Select(arrow => (From: RoomOf(project, FolderOf(arrow.From)), To: RoomOf(project, FolderOf(arrow.To))))
            .Where(arrow => arrow.From.Length > 0 && arrow.To.Length > 0 && arrow.From != arrow.To)
            .GroupBy(arrow => arrow.From, arrow => arrow.To)
            .ToDictionary(arrows => arrows.Key, arrows => arrows.ToHashSet());

        // What a name says beyond the project, as far as there are folders for it; empty for the root.
        string FolderOf(string name)
        {
            var folder = name.StartsWith(project + '.', StringComparison.Ordinal)
                ? name[(project.Length + 1)..].Replace('.', '/')
                : "";
            while (folder.Length > 0 && !Folders(project).Contains(folder))
            {
                folder = Parent(folder, '/');
            }

            return folder;
        }
    }

    private static string RoomOf(string project, string folder)
    {
        var parts = folder.Split('/');
        return parts.Length == 1 || Folders(project).Contains(parts[0]) ? parts[0] : $"{parts[0]}/{parts[1]}";
    }

    /// <summary>The folders that hold files, from the project's root: "Kernel/Http".</summary>
    private static IReadOnlySet<string> Folders(string project) => FoldersOf.GetOrAdd(project, _ => Sources(project)
        .Select(path => Parent(path[$"src/{project}/".Length..], '/'))
        .Where(folder => folder.Length > 0)
        .ToHashSet());

    private static IEnumerable<string> Sources(string project) => Repository.Files().Where(file =>
        file.StartsWith($"src/{project}/", StringComparison.Ordinal)
        && file.EndsWith(".cs", StringComparison.Ordinal)
        && File.Exists(Repository.PathOf(file)));

    private static string Namespace(string project, string path) =>
        Parent(project + '.' + path[$"src/{project}/".Length..^".cs".Length].Replace('/', '.'), '.');

    private static string Parent(string name, char separator) => name[..Math.Max(0, name.LastIndexOf(separator))];

    private static bool Reaches(Dictionary<string, HashSet<string>> arrows, string from, string to)
    {
        HashSet<string> seen = [];
        Queue<string> open = new(arrows[from]);
        while (open.TryDequeue(out var room))
        {
            if (room == to)
            {
                return true;
            }

            if (seen.Add(room) && arrows.TryGetValue(room, out var further))
            {
                foreach (var next in further)
                {
                    open.Enqueue(next);
                }
            }
        }

        return false;
    }

    private static string Drawn(Dictionary<string, HashSet<string>> arrows) =>
        string.Join("; ", arrows.Select(arrow => $"{arrow.Key} -> {string.Join(", ", arrow.Value)}"));

    [GeneratedRegex(@"\b(?<project>AgeWatch\.(?:Core|Storage|Server))(?:\.[A-Z]\w+)+")]
    private static partial Regex Names();
}
