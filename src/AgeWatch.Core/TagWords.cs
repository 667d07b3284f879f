namespace AgeWatch.Core;

/// <summary>Where a number comes from, in words.</summary>
public static class TagWords
{
    public static string Of(Tag tag) => tag switch
    {
        Tag.Law => "law",
        Tag.Label => "label on the part",
        Tag.Maker => "maker's figure",
        Tag.Standard => "published standard",
        Tag.Practice => "common practice, no source",
        Tag.Memory => "from memory, unverified",
        Tag.Own => "rule of one's own",
    };
}
