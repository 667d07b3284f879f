using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Records;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>The mark and the paper of a component's row.</summary>
internal sealed class ImportEvidence(AgeWatchContext db, ImportRecords book)
{
    /// <summary>All that can be said without knowing the part, so that it is said at once.</summary>
    public void Check(RowReader reader)
    {
        var seenOn = reader.Day(Columns.SeenOn);
        var text = reader.AsWritten(Columns.Mark);
        var convention = reader.Text(Columns.Convention, 64);
        if ((text, convention, seenOn) is not (null, null, null) && !reader.IsUnread(Columns.SeenOn, seenOn))
        {
            if (!Refuse(reader, EvidenceKind.Mark, seenOn, text, convention, Columns.SeenOn) && text is not null)
            {
                WarnOfMark(reader, text, convention, seenOn);
            }
        }

        if (reader.Day(Columns.DocumentOn) is { } day)
        {
            Refuse(reader, EvidenceKind.Document, day, null, null, Columns.DocumentOn);
        }
    }

    public bool TakeMark(RowReader reader, Component component)
    {
        var convention = reader.Text(Columns.Convention, 64);
        var seenOn = reader.Day(Columns.SeenOn);
        var text = reader.AsWritten(Columns.Mark);
        if ((text, convention, seenOn) is (null, null, null))
        {
            return false;
        }

        if (reader.IsUnread(Columns.SeenOn, seenOn)
            || Refuse(reader, EvidenceKind.Mark, seenOn, text, convention, Columns.SeenOn)
            || text is null)
        {
            return false;
        }

        var evidence = ImportRecords.Of(book.Evidence, component.Id);
        if (evidence.Exists(e => e.Kind == EvidenceRowKind.Mark
            && e.Text == text
            && e.Convention == convention
            && (seenOn is null || e.On == seenOn)))
        {
            return false;
        }

        // What an earlier sheet said of this mark is corrected by this one; what a person noted by hand stands beside
        // it.
        foreach (var old in evidence.FindAll(e => e.Kind == EvidenceRowKind.Mark && e.NotedBy == ImportShared.Noter))
        {
            old.WithdrawnAt = book.Now;
            old.WithdrawnReason = "A later import reads the mark otherwise.";
            evidence.Remove(old);
        }

        Add(component, EvidenceRowKind.Mark, seenOn, text, convention);
        return true;
    }

    public bool TakeDocument(RowReader reader, Component component)
    {
        if (reader.Day(Columns.DocumentOn) is not { } day
            || Refuse(reader, EvidenceKind.Document, day, null, null, Columns.DocumentOn)
            || ImportRecords.Of(book.Evidence, component.Id)
                .Exists(e => e.Kind == EvidenceRowKind.Document && e.On == day))
        {
            return false;
        }

        Add(component, EvidenceRowKind.Document, day, null, null);
        return true;
    }

    private void WarnOfMark(RowReader reader, string text, string? convention, DateOnly? seenOn)
    {
        MarkQuestion question = new(text) { Convention = convention, Observed = seenOn, Today = book.Today };
        if (MarkReader.Read(question, book.OwnConventions).Readings.Count == 0)
        {
            reader.Warn(
                Columns.Mark, "no-reading",
                "No convention reads this as a date. It is kept as it is written; is it copied exactly?");
        }
    }

    private bool Refuse(
        RowReader reader, EvidenceKind kind, DateOnly? on, string? text, string? convention, string dayColumn) =>
        reader.Refuse(
            EvidenceRecord.Check(
                new()
                {
                    Kind = kind,
                    On = on,
                    Text = text,
                    Convention = convention,
                    Triangle = null,
                    Odometer = null,
                    Hours = null,
                },
                book.Today,
                key => book.OwnConventions.Any(c => c.Key == key)),
            member => member switch
            {
                nameof(EvidenceRecord.On) => dayColumn,
                nameof(EvidenceRecord.Convention) => Columns.Convention,
                _ => Columns.Mark,
            });

    private void Add(Component component, EvidenceRowKind kind, DateOnly? day, string? text, string? convention)
    {
        var row = new EvidenceItem
        {
            ClubId = book.ClubId,
            Id = Guid.CreateVersion7(),
            ComponentId = component.Id,
            Kind = kind,
            On = day,
            Text = text,
            Convention = convention,
            NotedBy = ImportShared.Noter,
            RecordedAt = book.Now,
        };
        ImportRecords.Of(book.Evidence, component.Id).Add(row);
        db.Evidence.Add(row);
    }
}
