using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportMembers(AgeWatchContext db, ImportRecords book)
{
    public ImportedRow Take(RowReader reader)
    {
        var reference = reader.Text(Columns.Reference, 100) ?? reader.Text(Columns.Member, 100);
        var name = reader.Text(Columns.Name);
        var email = reader.Text(Columns.Email, 254);
        if (email is not null && MailAddressPolicy.Objection(email) is { } objection)
        {
            reader.Wrong<string>(Columns.Email, "wrong-format", $"The address {objection}.");
            email = null;
        }

        var member = reference is not null
            ? book.Members.Find(m => m.Reference == reference)
            : book.Members.Find(m => m.Reference is null && email is not null && m.Email == email);
        if (member is null)
        {
            if (reader.Required(Columns.Name) is null)
            {
                return default;
            }

            member = new Member
            {
                ClubId = book.ClubId,
                Id = Guid.CreateVersion7(),
                Reference = reference,
                Name = name!,
                CreatedAt = book.Now
            };
            book.Members.Add(member);
            db.Members.Add(member);
        }

        member.Name = name ?? member.Name;
        member.MoveTo(email ?? member.Email, book.Now);
        member.IsOfficer = reader.YesNo(Columns.Officer) ?? member.IsOfficer;
        member.DistanceUnit = reader.Unit(Columns.Unit) ?? member.DistanceUnit;
        return new(member, db.Entry(member).State != EntityState.Unchanged, null);
    }
}
