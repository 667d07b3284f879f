using System.Text.Json;
using System.Text.Json.Nodes;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Tests.Http;

public sealed class MergePatchTests
{
    /// <summary>RFC 7396, Appendix A: all fifteen rows (set rfc7396/appendix-a).</summary>
    [Fact]
    public void Every_row_of_appendix_a_holds()
    {
        var rows = Vectors.Cases("rfc7396/appendix-a").ToList();

        Assert.Equal(15, rows.Count);
        Assert.All(rows, row =>
        {
            var target = Node(row.GetProperty("target"));
            var before = target?.ToJsonString();

            var result = MergePatch.Apply(target, Node(row.GetProperty("patch")));

            Assert.True(JsonNode.DeepEquals(Node(row.GetProperty("result")), result), row.ToString());
            Assert.Equal(before, target?.ToJsonString());
        });
    }

    private static JsonNode? Node(JsonElement json) => JsonSerializer.SerializeToNode(json);
}
