using System.Security.Cryptography;
using AgeWatch.Storage;
using Microsoft.Extensions.Primitives;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>An entity tag, RFC 9110 section 8.8.3.</summary>
internal readonly record struct EntityTag(string Opaque, bool IsWeak = false)
{
    // A newer program may show the same row in another form, so its tags must differ.
    private static readonly string Form = Convert.ToHexStringLower(typeof(EntityTag)
        .Module.ModuleVersionId.ToByteArray()
        .AsSpan(0, 3));

    public static EntityTag Of(IVersioned row) => new($"{row.Version}-{Form}");

    public static EntityTag Of(ReadOnlySpan<byte> representation) =>
        new(Convert.ToHexStringLower(SHA256.HashData(representation).AsSpan(0, 16)));

    public bool StronglyEquals(EntityTag other) => !IsWeak && !other.IsWeak && Opaque == other.Opaque;

    public bool WeaklyEquals(EntityTag other) => Opaque == other.Opaque;

    public override string ToString() => $"{(IsWeak ? "W/" : "")}\"{Opaque}\"";

    /// <summary>Reads one tag that stands alone.</summary>
    public static bool TryRead(string text, out EntityTag tag)
    {
        var at = 0;
        return TryRead(text, ref at, out tag) && at == text.Length;
    }

    internal static bool TryRead(string text, ref int at, out EntityTag tag)
    {
        tag = default;
        var weak = text.AsSpan(at).StartsWith("W/", StringComparison.Ordinal);
        var open = weak ? at + 2 : at;
        if (open >= text.Length || text[open] != '"')
        {
            return false;
        }

        // etagc: any visible character but the quote, and obs-text; a comma or backslash means itself.
        var close = open + 1;
        while (close < text.Length && text[close] is '!' or (>= '#' and not '\u007f'))
        {
            close++;
        }

        if (close >= text.Length || text[close] != '"')
        {
            return false;
        }

        tag = new(text[(open + 1)..close], weak);
        at = close + 1;
        return true;
    }
}

/// <summary>The value of If-Match or If-None-Match: <c>*</c> or a list of tags.</summary>
internal sealed record TagList(bool IsAny, IReadOnlyList<EntityTag> Tags)
{
    public bool Holds(EntityTag current) => IsAny || Tags.Any(tag => tag.StronglyEquals(current));

    public bool HoldsWeakly(EntityTag current) => IsAny || Tags.Any(tag => tag.WeaklyEquals(current));

    /// <summary>Several header lines are one list (RFC 9110 section 5.3); empty elements are skipped (section
    /// 5.6.1).</summary>
    public static bool TryRead(StringValues header, out TagList list)
    {
        var text = string.Join(",", header.ToArray()).Trim(' ', '\t');
        list = new(text == "*", []);
        if (list.IsAny)
        {
            return true;
        }

        List<EntityTag> tags = [];
        var at = 0;
        while (at < text.Length)
        {
            if (text[at] is ' ' or '\t' or ',')
            {
                at++;
                continue;
            }

            if (!EntityTag.TryRead(text, ref at, out var tag))
            {
                return false;
            }

            tags.Add(tag);
            while (at < text.Length && text[at] is ' ' or '\t')
            {
                at++;
            }

            if (at < text.Length && text[at] != ',')
            {
                return false;
            }
        }

        list = new(false, tags);
        return tags.Count > 0;
    }
}
