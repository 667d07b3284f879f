using System.Diagnostics;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>The source tree these tests were built from.</summary>
internal static class Repository
{
    public static string Root { get; } = FindRoot();

    public static string PathOf(string relative) => Path.Combine(Root, relative);

    /// <summary>What git keeps, with slashes; the test is skipped where the tree is no clone.</summary>
    public static IReadOnlyList<string> Files()
    {
        Assert.SkipUnless(Path.Exists(PathOf(".git")), "The source tree is not a git clone.");
        ProcessStartInfo start = new(
            "git", ["-C", Root, "-c", "safe.directory=*", "ls-files", "-z"])
        { RedirectStandardOutput = true };
        using var git = Process.Start(start)!;
        var list = git.StandardOutput.ReadToEnd();
        git.WaitForExit();
        Assert.Equal(0, git.ExitCode);
        return [.. list.Split('\0', StringSplitOptions.RemoveEmptyEntries)];
    }

    private static string FindRoot()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "AgeWatch.sln")))
        {
            folder = folder.Parent;
        }

        return folder?.FullName ?? throw new InvalidOperationException("These tests run from within the source tree.");
    }
}
