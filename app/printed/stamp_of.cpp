#include "app/printed/stamp_of.h"

#include <algorithm>
#include <cstdio>

#include "app/book/signoff.h"
#include "app/words/print.h"

namespace app::printed {
namespace {

using book::Cycle;
using book::FileRef;
using words::Print, words::Term, words::Text, words::Typed;

Text NumberText(const std::optional<double>& value) {
  if (!value) return Print::kNotNoted;
  char text[40];
  std::snprintf(text, sizeof text, "%g", *value);
  return Typed(text);
}

vision::Result<std::vector<report::StampSignature>> SignaturesOf(book::Book& book, const book::Revision& revision) {
  auto signoffs = book::SignOffs(book, revision.joint);
  if (!signoffs.ok()) return signoffs.error();
  std::vector<report::StampSignature> signatures;
  for (const auto& signoff : signoffs.value()) {
    const auto& s = signoff.statement;
    if (s.revision != revision.number) continue;
    auto key = book::FindKey(book, signoff.fingerprint);
    if (!key.ok()) return key.error();
    signatures.push_back(
        {s.kind,
         s.name,
         s.role,
         s.signed_at,
         {{Print::kQualification, {Print::kValidTo, {Typed(s.qualification), Typed(s.qualification_expires)}}},
          {Print::kVisionTest, Typed(s.vision_test)},
          {Print::kProcedure, Typed(s.procedure)},
          {Print::kLightLevel, Typed(s.light_level)},
          {Print::kResolution, Typed(s.resolution)},
          {Print::kKey, Typed(signoff.fingerprint)}},
         s.statement,
         book::SignOffFault(signoff, revision.ComputeHash(), key.value())});
  }
  return signatures;
}

report::StampTable FilesTable(const Cycle& cycle) {
  report::StampTable table{Print::kEvidence, {Print::kFile, Print::kKind, Print::kSha, Print::kClock}, {}};
  const auto add = [&table](const FileRef& ref) {
    table.rows.push_back({Typed(ref.name), Term(ref.kind), Typed(ref.sha256),
                          Typed(ref.clock + (ref.zone.empty() ? "" : ", " + ref.zone))});
  };
  for (const auto& recording : cycle.recordings)
    for (const auto& file : recording.files) add(file);
  if (!cycle.readings.empty()) {
    add(cycle.readings.back().reading);
    for (const auto& picture : cycle.readings.back().pictures) add(picture);
  }
  for (const auto* list : {&cycle.film, &cycle.samples, &cycle.notes})
    for (const auto& file : *list) add(file);
  const auto add_all = [&add](const auto& files) { std::for_each(files.begin(), files.end(), add); };
  for (const auto& repair : cycle.repairs) add(repair.file), add(repair.plan), add_all(repair.cards);
  for (const auto& change : cycle.changes) add(change.change), add_all(change.pictures);
  return table;
}

std::vector<report::StampTable> TablesOf(const book::Record& record, const Cycle& cycle) {
  std::vector<report::StampTable> tables;
  report::StampTable repairs{
      Print::kCyclesOfJoint, {Print::kCycle, Print::kWelder, Print::kWeldedOn, Print::kDispositionColumn}, {}};
  for (const auto& each : record.cycles)
    repairs.rows.push_back({Typed(each.id), Typed(each.welder), Typed(each.welded_on), Term(each.Disposition())});
  tables.push_back(repairs);
  report::StampTable purge{Print::kPurgeLog, {Print::kTime, Print::kGas, Print::kOxygen, Print::kDewPoint}, {}};
  for (const auto& row : cycle.purge.rows)
    purge.rows.push_back({Typed(row.time), Typed(row.gas), NumberText(row.oxygen_ppm), NumberText(row.dew_point_c)});
  report::StampTable closed{Print::kCloseOut, {Print::kAfter, Print::kWhen, Print::kBy, Print::kFound}, {}};
  for (const auto& closeout : cycle.closeouts)
    closed.rows.push_back({Typed(closeout.after), Typed(closeout.when), Typed(closeout.by), Typed(closeout.found)});
  report::StampTable blends{Print::kBlendsPlanned, {Print::kIndicationColumn, Print::kAnswer, Print::kRepairFile}, {}};
  for (const auto& repair : cycle.repairs)
    blends.rows.push_back({Typed(repair.indication), Term(repair.answer), Typed(repair.file.name)});
  report::StampTable notes{Print::kAnnotations, {Print::kWhen, Print::kBy, Print::kTextColumn}, {}};
  for (const auto& note : record.annotations)
    notes.rows.push_back({Typed(note.at), Typed(note.author), Typed(note.text)});
  for (const auto* table : {&purge, &closed, &blends, &notes})
    if (!table->rows.empty()) tables.push_back(*table);
  tables.push_back(FilesTable(cycle));
  return tables;
}

std::vector<report::StampPicture> PicturesOf(const book::Book& book, const Cycle& cycle) {
  std::vector<report::StampPicture> pictures;
  for (const auto& file : cycle.film)
    pictures.push_back({book.evidence().PathOf(file), Text(Print::kFilm, {Typed(file.name)})});
  for (const auto& file : cycle.samples)
    pictures.push_back({book.evidence().PathOf(file), Text(Print::kSample, {Typed(file.name)})});
  return pictures;
}

}  // namespace

vision::Result<report::RecordStamp> StampOf(book::Book& book, const book::Revision& revision, book::Record& record,
                                            const std::string& cycle_id) {
  auto signatures = SignaturesOf(book, revision);
  if (!signatures.ok()) return signatures.error();
  auto seal = book.Seal();
  if (!seal.ok()) return seal.error();
  const Cycle* cycle = record.FindCycle(cycle_id);
  if (cycle == nullptr) return vision::NotFound("Joint " + record.joint + " has no cycle " + cycle_id + ".");
  report::RecordStamp stamp;
  stamp.revision = revision.number;
  stamp.cycle = cycle_id;
  stamp.hash = revision.hash;
  stamp.author = revision.author;
  stamp.made_at = revision.made_at;
  stamp.reason = revision.reason;
  stamp.seal = seal.value().seal;
  if (revision.ComputeHash() != revision.hash) stamp.fault = words::WordsOf(Print::kNoLongerSaved);
  stamp.signatures = signatures.value();
  stamp.tables = TablesOf(record, *cycle);
  stamp.pictures = PicturesOf(book, *cycle);
  return stamp;
}

}  // namespace app::printed
