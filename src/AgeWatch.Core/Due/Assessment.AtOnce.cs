namespace AgeWatch.Core.Due;

/// <summary>What makes a part due at once: findings, too long a storage, a crash or fire.</summary>
internal sealed partial class Assessment
{
    private void AddFindings()
    {
        foreach (var (finding, grade, broken, _) in _findings)
        {
            if (grade < FindingGrade.Fail)
            {
                continue;
            }

            PutAtOnce(
                new Limit
                {
                    Level = grade == FindingGrade.Unfit ? LimitLevel.StopUse : LimitLevel.ReplaceBy,
                    From = AgeAnchor.Finding,
                    Tag = broken?.Tag ?? Tag.Practice,
                    Reference = broken?.Reference,
                    NotedBy = finding.FoundBy,
                },
                AgeAnchor.Finding, DateSpan.Day(finding.On), DateSpan.Day(finding.On), finding);
        }
    }

    /// <summary>Old stock whose clock runs from manufacture should not have been fitted: it is due from that
    /// day.</summary>
    private void AddStorage()
    {
        if (_question.Kind is not { StorageLimit: { } storage, Clock: AgeAnchor.Manufacture }
            || _starts.Of(AgeAnchor.Fitting) is not { Presumed: false, Days: { } fitted }
            || _starts.StoredTooLong(storage.Value) is not { } certain)
        {
            return;
        }

        PutAtOnce(
            Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fitting, storage.Value, storage.Tag, storage.Reference),
            AgeAnchor.Fitting, _birth.Span!.Value,
            new DateSpan(fitted.First, certain ? fitted.Last : DateOnly.MaxValue));
        _trail.Note(new(DueNoteCode.StoredTooLong, Days: _birth.Span));
    }

    /// <summary>A rule of one's own is to be looked at again on its day; one that says no reason was once told as law,
    /// label, maker or standard without a source, which is asked for.</summary>
    private void AddReviews()
    {
        foreach (var own in _question.Subject.OwnLimits)
        {
            if (own.Tag != Tag.Own)
            {
                continue;
            }

            if (own.ReviewOn is { } review)
            {
                PutAtOnce(
                    new Limit
                    {
                        Level = LimitLevel.InspectFrom,
                        From = AgeAnchor.Finding,
                        Tag = Tag.Own,
                        NotedBy = own.NotedBy,
                        Reason = own.Reason,
                        ReviewOn = review,
                    },
                    AgeAnchor.Finding, DateSpan.Day(review), DateSpan.Day(review));
            }

            if (own.Reason is null)
            {
                _trail.Ask(DueAskCode.WhatReference);
            }
        }
    }

    /// <summary>The next day on which a rule of one's own may cease to beat another number.</summary>
    private DateOnly? NextReview()
    {
        DateOnly? next = null;
        foreach (var own in _question.Subject.OwnLimits)
        {
            if (own is { Tag: Tag.Own, ReviewOn: { } review } && review > _question.AsOf && !(review >= next))
            {
                next = review;
            }
        }

        return next;
    }

    private void AddHappenings()
    {
        foreach (var happening in _question.Vehicle.Happenings)
        {
            if (!_question.Kind.EndedBy.Contains(happening.Event) || _trail.SetAside(happening.On)
                || _starts.Of(AgeAnchor.Fitting).Days?.First > happening.On)
            {
                continue;
            }

            if (WorkDoneOn() > happening.On)
            {
                _trail.Note(new(DueNoteCode.HappeningAnswered, Days: DateSpan.Day(happening.On)));
                continue;
            }

            PutAtOnce(
                new Limit { Level = LimitLevel.StopUse, From = AgeAnchor.Finding, Tag = Tag.Practice },
                AgeAnchor.Finding, DateSpan.Day(happening.On), DateSpan.Day(happening.On), happening: happening);
        }
    }

    private void PutAtOnce(
        Limit limit, AgeAnchor anchor, DateSpan from, DateSpan due, Finding? finding = null,
        Happening? happening = null) =>
        _limits.Add(new()
        {
            Limit = limit,
            Measure = LimitMeasure.Condition,
            Anchor = anchor,
            From = from,
            Due = due,
            Standing = LimitStanding.Counts,
            Finding = finding,
            Happening = happening,
        });
}
