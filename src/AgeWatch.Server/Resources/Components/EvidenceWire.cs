using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Components;

namespace AgeWatch.Server.Resources.Components;

/// <summary>One thing that an age rests on.</summary>
/// <param name="On">For a mark or plate the day it was seen, absent when nobody knows; else the day the evidence speaks
/// of.</param>
/// <param name="Text">The mark exactly as read, question marks for what cannot be read.</param>
/// <param name="Convention">How the mark is meant; absent: every convention that is possible is tried.</param>
/// <param name="NotedBy">Who read or said it.</param>
/// <param name="Triangle">Whether a triangle follows a tyre's three digits; absent: nobody looked.</param>
/// <param name="Odometer">With fitted, fill and service: what the odometer showed.</param>
/// <param name="Hours">With fitted, fill and service: what the hours meter showed.</param>
internal sealed record EvidenceRequest(
    EvidenceKind Kind,
    DateOnly? On = null,
    [StringLength(MarkQuestion.MaxTextLength, MinimumLength = 1)] string? Text = null,
    [StringLength(64, MinimumLength = 1), OneLine] string? Convention = null,
    [StringLength(200), OneLine] string? NotedBy = null,
    WirePhoto? Photo = null,
    bool? Triangle = null,
    WireDistance? Odometer = null,
    [Range(0, Shown.MostHours)] decimal? Hours = null) : IChecked
{
    public EvidenceRecord ToRecord() => new()
    {
        Kind = Kind,
        On = On,
        Text = Text,
        Convention = Convention,
        Triangle = Triangle,
        Odometer = Odometer?.Value,
        Hours = Hours,
    };

    /// <summary>Null: it does not say when the part was fitted.</summary>
    public FittingRecord? ToFitting() => Kind == EvidenceKind.Fitted && On is { } on
        ? new() { On = on, Odometer = Odometer?.Value, Hours = Hours }
        : null;

    public void Check(FieldFaults faults)
    {
        if (Kind == EvidenceKind.Fitted && Photo is not null)
        {
            faults.Add(nameof(Photo), "fitted", "A fitting has no photo.");
        }
    }
}

/// <summary>Where a picture of the evidence is kept; at least one of the two.</summary>
/// <param name="Sha256">Of the picture's bytes, 64 lower-case hexadecimal digits.</param>
internal sealed record WirePhoto(
    [StringLength(2000), OneLine] string? Url = null,
    [RegularExpression(
        "[0-9a-f]{64}", ErrorMessage = "Must be 64 lower-case hexadecimal digits.")] string? Sha256 = null)
        : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (Url is null && Sha256 is null)
        {
            faults.Add(nameof(Url), "missing", "A photo needs its url, its sha256 or both.");
        }

        // Pages show it as a link: no scheme that runs anything, and no name and password in it.
        if (Url is not null
            && !(Uri.TryCreate(Url, UriKind.Absolute, out var url)
                && url.Scheme is "http" or "https"
                && url.UserInfo.Length == 0))
        {
            faults.Add(nameof(Url), "wrong-format", "Must be an absolute http or https address without user name.");
        }
    }
}

/// <summary>What a second look at a mark may change; the text stays as read.</summary>
internal sealed record EvidenceChange(
    [StringLength(64, MinimumLength = 1), OneLine] string? Convention = null,
    bool? Triangle = null);

internal sealed record WithdrawRequest([StringLength(1000, MinimumLength = 1), OneLine] string Reason);

internal sealed record EvidenceReply
{
    public required Guid Id { get; init; }

    public required EvidenceRowKind Kind { get; init; }

    public required DateOnly? On { get; init; }

    public required string? Text { get; init; }

    public required string? Convention { get; init; }

    public required string? NotedBy { get; init; }

    public required WirePhoto? Photo { get; init; }

    public required bool? Triangle { get; init; }

    public required WireDistance? Odometer { get; init; }

    public required decimal? Hours { get; init; }

    public required DateTime RecordedAt { get; init; }

    public required DateTime? WithdrawnAt { get; init; }

    public required string? WithdrawnReason { get; init; }

    public static EvidenceReply From(EvidenceItem e) => new()
    {
        Id = e.Id,
        Kind = e.Kind,
        On = e.On,
        Text = e.Text,
        Convention = e.Convention,
        NotedBy = e.NotedBy,
        Photo = e.PhotoUrl is null && e.PhotoSha256 is null ? null : new WirePhoto(e.PhotoUrl, e.PhotoSha256),
        Triangle = e.Triangle,
        Odometer = FittingDistances.Shown(e.Thousandths, e.Unit),
        Hours = FittingDistances.Hours(e.Hours),
        RecordedAt = e.RecordedAt,
        WithdrawnAt = e.WithdrawnAt,
        WithdrawnReason = e.WithdrawnReason,
    };
}
