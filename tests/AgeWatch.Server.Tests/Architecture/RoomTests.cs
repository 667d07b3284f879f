using System.Text.RegularExpressions;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>The folders of a project refer to each other in one direction.</summary>
public sealed partial class RoomTests
{
    [Theory]
    [InlineData("AgeWatch.Core")]
    [InlineData("AgeWatch.Storage")]
    public void No_folder_reaches_itself_through_others(string project)
    {
        var arrows = Arrows(project);

        Assert.NotEmpty(arrows);
        Assert.All(arrows.Keys, folder => Assert.False(
            Reaches(arrows, folder, folder), $"{project}: {folder} reaches itself: {Drawn(arrows)}"));
    }

    /// <summary>Core's rooms, from what knows nothing to what knows most.</summary>
    [Fact]
    public void Core_points_from_telling_down_to_the_catalogue()
    {
        string[] order = ["Catalogue", "Marks", "Usage", "Due", "Records", "Telling", "WalkRounds"];

        var wrong =
            from arrow in Arrows("AgeWatch.Core")
            from target in arrow.Value
            where Array.IndexOf(order, target) > Array.IndexOf(order, arrow.Key)
            select $"{arrow.Key} -> {target}";

        Assert.Empty(wrong);
    }

    // A file refers to another folder by a using of its namespace or by its qualified name.
    private static Dictionary<string, HashSet<string>> Arrows(string project)
    {
        var root = $"src/{project}/";
        var files = Repository.Files()
            .Where(file => file.StartsWith(root, StringComparison.Ordinal)
                && file.EndsWith(".cs", StringComparison.Ordinal)
                && File.Exists(Repository.PathOf(file)))
            .Select(file => (Folder: file[root.Length..].Split('/')[0], Path: file))
            .Where(file => !file.Folder.EndsWith(".cs", StringComparison.Ordinal))
            .ToList();
        var folders = files.Select(file => file.Folder).ToHashSet();
        Dictionary<string, HashSet<string>> arrows = [];
        foreach (var (folder, path) in files)
        {
            var targets = Names().Matches(File.ReadAllText(Repository.PathOf(path)))
                .Where(match => match.Groups["project"].Value == project)
                .Select(match => match.Groups["folder"].Value)
                .Where(target => target != folder && folders.Contains(target));
            if (!arrows.TryGetValue(folder, out var known))
            {
                arrows[folder] = known = [];
            }

            known.UnionWith(targets);
        }

        return arrows;
    }

    private static bool Reaches(Dictionary<string, HashSet<string>> arrows, string from, string to)
    {
        HashSet<string> seen = [];
        Queue<string> open = new(arrows[from]);
        while (open.TryDequeue(out var folder))
        {
            if (folder == to)
            {
                return true;
            }

            if (seen.Add(folder))
            {
                foreach (var next in arrows[folder])
                {
                    open.Enqueue(next);
                }
            }
        }

        return false;
    }

    private static string Drawn(Dictionary<string, HashSet<string>> arrows) =>
        string.Join("; ", arrows.Select(arrow => $"{arrow.Key} -> {string.Join(", ", arrow.Value)}"));

    [GeneratedRegex(@"\b(?<project>AgeWatch\.(?:Core|Storage|Server))\.(?<folder>[A-Z]\w+)")]
    private static partial Regex Names();
}
