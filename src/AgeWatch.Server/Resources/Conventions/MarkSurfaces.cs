using AgeWatch.Server.Kernel.Pages;

namespace AgeWatch.Server.Resources.Conventions;

/// <summary>The outline of what a mark stands on.</summary>
internal static class MarkSurfaces
{
    public static string Words(MarkSetting setting) => setting switch
    {
        MarkSetting.Sidewall => "The sidewall of a tyre",
        MarkSetting.Hose => "A hose with its crimped end",
        MarkSetting.Bag => "A bag of rubber rings",
        MarkSetting.SewnLabel => "A sewn label",
        MarkSetting.PunchedLabel => "A label with punched holes",
        MarkSetting.Cylinder => "A gas cylinder",
        MarkSetting.Tag => "A stamped tag",
        MarkSetting.Ink => "Ink on a part",
        MarkSetting.MouldedClock => "A round mark moulded into a part",
        MarkSetting.Casting => "Raised figures on a casting",
        MarkSetting.Battery => "A battery with two posts",
        MarkSetting.Chip => "An electronic part with legs",
        MarkSetting.Disc => "A small disc with two wires",
        MarkSetting.Label => "A printed label",
    };

    /// <param name="w">Width of the drawing.</param>
    /// <param name="t">Where the outline begins.</param>
    /// <param name="h">Its height.</param>
    public static Html Of(MarkSetting setting, int w, int t, int h) => setting switch
    {
        MarkSetting.Sidewall =>
            $"""<path d="M4 {t + 8}Q{w / 2} {t - 18} {w - 4} {t + 8}M4 {t + h + 1}Q{w / 2} {t + h - 13} {w - 4} {t + h + 1}"/><path d="M4 {t + 2}Q{w / 2} {t - 24} {w - 4} {t + 2}" stroke-width="3" stroke-dasharray="9 5"/>""",
        MarkSetting.Hose =>
            $"""<path d="M40 {t + 8}H{w - 4}M40 {t + h - 8}H{w - 4}"/><rect x="14" y="{t + 4}" width="26" height="{h - 8}" rx="3"/><path d="M21 {t + 4}v{h - 8}M27 {t + 4}v{h - 8}M33 {t + 4}v{h - 8}M14 {t + 18}H2V{t + h - 18}H14"/><path d="M{w - 4} {t + 8}q-10 {(h - 16) / 4} 0 {(h - 16) / 2}t0 {(h - 16) / 2}"/>""",
        MarkSetting.Bag =>
            $"""<rect x="30" y="{t - 6}" width="{w - 60}" height="{h + 6}" rx="3"/><path d="M30 {t + 2}H{w - 30}" stroke-dasharray="3 3"/><circle cx="58" cy="{t + 34}" r="15"/><circle cx="58" cy="{t + 34}" r="10"/><circle cx="{w - 58}" cy="{t + 34}" r="15"/><circle cx="{w - 58}" cy="{t + 34}" r="10"/>""",
        MarkSetting.SewnLabel =>
            $"""<path d="M2 {t - 8}H{w - 2}M2 {t + h}H{w - 2}"/><rect x="12" y="{t - 2}" width="{w - 24}" height="{h - 4}" rx="2"/><rect x="17" y="{t + 3}" width="{w - 34}" height="{h - 14}" rx="1" stroke-width="1" stroke-dasharray="5 3"/>""",
        MarkSetting.Cylinder =>
            $"""<rect x="2" y="{t - 8}" width="{w - 22}" height="{h + 8}" rx="26"/><path d="M{w - 20} {t + 14}h10v-5h8v24h-8v-5h-10"/><rect x="14" y="{t + 8}" width="{w - 48}" height="{h - 16}" rx="2" stroke-width="1"/>""",
        MarkSetting.Tag =>
            $"""<rect x="40" y="{t}" width="{w - 80}" height="{h - 2}" rx="8"/><circle cx="54" cy="{t + h / 2}" r="5"/><circle cx="{w - 54}" cy="{t + h / 2}" r="5"/>""",
        MarkSetting.Ink =>
            $"""<path d="M24 {t}H{w - 24}M24 {t + h - 2}H{w - 24}"/><path d="M24 {t}q-9 {(h - 2) / 4} 0 {(h - 2) / 2}t0 {(h - 2) / 2}M{w - 24} {t}q-9 {(h - 2) / 4} 0 {(h - 2) / 2}t0 {(h - 2) / 2}"/>""",
        MarkSetting.Casting =>
            $"""<path d="M36 {t + h - 2}L52 {t - 4}H{w - 36}L{w - 52} {t + h - 2}z" stroke-width="3"/><path d="M4 {t + 12}l14 -16M4 {t + 34}l36 -38M4 {t + 56}l26 -28M{w - 4} {t + 44}l-14 16M{w - 4} {t + 22}l-38 38M{w - 4} {t}l-28 30" stroke-width="1"/>""",
        MarkSetting.Battery =>
            $"""<rect x="44" y="{t}" width="{w - 88}" height="{h - 2}" rx="3"/><rect x="62" y="{t - 9}" width="18" height="9"/><rect x="{w - 80}" y="{t - 9}" width="18" height="9"/><path d="M44 {t + 10}H{w - 44}"/><path d="M66 {t + 24}h10M71 {t + 19}v10M{w - 76} {t + 24}h10" stroke-width="2"/>""",
        MarkSetting.Chip =>
            $"""<rect x="60" y="{t}" width="{w - 120}" height="{h - 2}" rx="2"/><path d="M60 {t + h / 2 - 7}a6 6 0 0 1 0 12"/>{Legs(60, w - 60, t, h)}""",
        MarkSetting.Disc =>
            $"""<circle cx="{w / 2}" cy="{t + h / 2 - 6}" r="30"/><path d="M{w / 2 - 25} {t + 38}L{w / 2 - 48} {t + h}M{w / 2 + 25} {t + 38}L{w / 2 + 48} {t + h}"/>""",
        MarkSetting.Label or MarkSetting.PunchedLabel or MarkSetting.MouldedClock =>
            $"""<rect x="8" y="{t}" width="{w - 16}" height="{h - 2}" rx="6"/>""",
    };

    private static IEnumerable<Html> Legs(int left, int right, int t, int h)
    {
        for (var y = t + 9; y < t + h - 6; y += 13)
        {
            yield return $"""<path d="M{left} {y}h-12v5M{right} {y}h12v5"/>""";
        }
    }
}
