using AgeWatch.Server.Kernel.Http;
using Microsoft.Extensions.Primitives;

namespace AgeWatch.Server.Tests.Http;

public sealed class EntityTagTests
{
    /// <summary>RFC 9110 section 8.8.3, grammar and examples (set rfc9110/etag-syntax).</summary>
    [Fact]
    public void Syntax_is_that_of_the_rfc() => Assert.All(Vectors.Cases("rfc9110/etag-syntax"), example =>
    {
        var raw = example.GetProperty("raw").GetString()!;

        var isRead = EntityTag.TryRead(raw, out var tag);

        Assert.Equal(example.GetProperty("valid").GetBoolean(), isRead);
        if (isRead)
        {
            Assert.Equal(raw.StartsWith("W/", StringComparison.Ordinal), tag.IsWeak);
            Assert.Equal(raw, tag.ToString());
        }
    });

    /// <summary>RFC 9110 section 8.8.3.2, Table 3 (set rfc9110/etag-compare).</summary>
    [Fact]
    public void Comparison_is_that_of_the_rfc() => Assert.All(Vectors.Cases("rfc9110/etag-compare"), example =>
    {
        Assert.True(EntityTag.TryRead(example.GetProperty("a").GetString()!, out var a));
        Assert.True(EntityTag.TryRead(example.GetProperty("b").GetString()!, out var b));

        Assert.Equal(example.GetProperty("strong").GetBoolean(), a.StronglyEquals(b));
        Assert.Equal(example.GetProperty("weak").GetBoolean(), a.WeaklyEquals(b));
    });

    /// <summary>Lists by RFC 9110 sections 5.6.1 (empty elements), 13.1.1 and 8.8.3 (a comma may stand inside a
    /// tag).</summary>
    [Theory]
    [InlineData("*", 0)]
    [InlineData("\"a\"", 1)]
    [InlineData("\"a\", \"b\"", 2)]
    [InlineData("\"a\",\"b\"", 2)]
    [InlineData("\"a,b\"", 1)]
    [InlineData(", \"a\" ,, W/\"b\" ,", 2)]
    [InlineData("\"a\" \"b\"", -1)]
    [InlineData("a", -1)]
    [InlineData("\"a\", *", -1)]
    [InlineData("\"a", -1)]
    [InlineData("\"a b\"", -1)]
    [InlineData("", -1)]
    public void Lists_are_parsed_not_split(string header, int tags)
    {
        var isRead = TagList.TryRead(new StringValues(header), out var list);

        Assert.Equal(tags >= 0, isRead);
        if (isRead)
        {
            Assert.Equal(tags, list.Tags.Count);
            Assert.Equal(header == "*", list.IsAny);
        }
    }

    [Fact]
    public void Several_lines_are_one_list()
    {
        Assert.True(TagList.TryRead(new StringValues(["\"a\"", "\"b\""]), out var list));
        Assert.Equal(["a", "b"], list.Tags.Select(tag => tag.Opaque));
    }
}
