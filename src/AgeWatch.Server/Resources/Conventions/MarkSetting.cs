namespace AgeWatch.Server.Resources.Conventions;

/// <summary>What a mark is drawn on.</summary>
internal enum MarkSetting
{
    Sidewall,
    Hose,
    Bag,
    SewnLabel,
    PunchedLabel,
    Cylinder,
    Label,
    Tag,
    Ink,
    MouldedClock,
    Casting,
    Battery,
    Chip,
    Disc,
}

internal static class MarkSettings
{
    /// <summary>The parts of the page, in reading order: what is on every car first.</summary>
    public static readonly IReadOnlyList<(
        string Heading, string Anchor, IReadOnlyList<MarkSetting> Settings)> Sections =
    [
        ("Tyres", "tyres", [MarkSetting.Sidewall]),
        ("Hoses, seals and other rubber", "rubber", [MarkSetting.Hose, MarkSetting.Bag, MarkSetting.MouldedClock]),
        ("Belts, harnesses and helmets", "belts", [MarkSetting.SewnLabel, MarkSetting.PunchedLabel]),
        ("Gas cylinders", "gas", [MarkSetting.Cylinder]),
        ("Castings and batteries", "castings", [MarkSetting.Casting, MarkSetting.Battery]),
        ("Electronic parts", "electronic", [MarkSetting.Chip, MarkSetting.Disc]),
        ("Tags, stamps and ink", "stamps", [MarkSetting.Tag, MarkSetting.Ink]),
        ("Printed labels", "labels", [MarkSetting.Label]),
    ];

    public static MarkSetting Of(string key) => key switch
    {
        "tin-wwyy" or "tin-wwy" or "tin-dwwy" or "tin-full" or "tyre-roman-quarter" => MarkSetting.Sidewall,
        "fmvss106-hose" or "month-year" or "week-year-iso" => MarkSetting.Hose,
        "quarter-year" or "cure-nQYY" => MarkSetting.Bag,
        "mould-clock" => MarkSetting.MouldedClock,
        "fmvss209-belt-year" or "fia-not-valid-after" or "fmvss218-helmet" => MarkSetting.SewnLabel,
        "sfi-punch" => MarkSetting.PunchedLabel,
        "fmvss304-expiry" or "fmvss304-made" => MarkSetting.Cylinder,
        "casting-letter-day-year" or "casting-year-letter-day" => MarkSetting.Casting,
        "battery-letter-digit" => MarkSetting.Battery,
        "eia-yyww" or "iec60062-4char" => MarkSetting.Chip,
        "iec60062-2char" => MarkSetting.Disc,
        "dmy" or "mdy" or "ymd" => MarkSetting.Tag,
        "wwyy-iso" or "mmyy" or "yymm" or "julian-yddd" or "julian-yyddd" or "julian-dddyy" => MarkSetting.Ink,
        _ => MarkSetting.Label,
    };
}
