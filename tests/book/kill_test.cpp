#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <map>
#include <random>
#include <sstream>
#include <thread>

#include "app/book/batch.h"
#include "app/book/intake.h"
#include "app/book/verify.h"
#include "tests/book/support.h"

extern char** environ;

namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

/// A program started with its standard output going to a file.
pid_t Start(std::vector<std::string> words, const fs::path& out) {
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 1, out.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0644);
  std::vector<char*> arguments;
  for (auto& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  pid_t child = 0;
  const int failed = ::posix_spawn(&child, arguments[0], &actions, nullptr, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  return failed == 0 ? child : 0;
}

std::uintmax_t SizeOf(const fs::path& file) {
  std::error_code none_yet;
  const auto size = fs::file_size(file, none_yet);
  return none_yet ? 0 : size;
}

void WaitUntilLonger(const fs::path& file, std::uintmax_t size) {
  for (int tries = 0; tries < 3000 && SizeOf(file) <= size; ++tries)
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
}

class KillTest : public OnBoth {};
ON_BOTH_ENGINES(KillTest);

TEST_P(KillTest, NothingAWriterWasToldIsSavedIsLostWhenItIsKilled) {
  const char* asked = std::getenv("ROOTSCROLL_KILL_ROUNDS");  // the proof asks for more
  const int rounds = asked != nullptr ? std::atoi(asked) : 8;
  std::mt19937 random(11);
  std::uniform_int_distribution<int> pause_us(0, 60000);
  int killed_inside = 0;
  for (int round = 0; round < rounds; ++round) {
    const std::uintmax_t before = SizeOf(folder_ / "said");
    const pid_t writer = Start({BOOK_WRITER, address_, "K-" + std::to_string(round % 5)}, folder_ / "said");
    ASSERT_GT(writer, 0);
    WaitUntilLonger(folder_ / "said", before);  // it is saving now; killed somewhere within the next saves
    std::this_thread::sleep_for(std::chrono::microseconds(pause_us(random)));
    ::kill(writer, SIGKILL);
    int status = 0;
    ::waitpid(writer, &status, 0);
    ASSERT_TRUE(WIFSIGNALED(status)) << "the writer ended by itself, exit " << WEXITSTATUS(status);
    ++killed_inside;
  }
  std::istringstream said(Bytes(folder_ / "said"));
  std::string word, joint, hash;
  std::int64_t number = 0;
  int acknowledged = 0, lost = 0;
  while (said >> word >> joint >> number >> hash) {
    ++acknowledged;
    auto revision = book_->Load(joint, number);
    lost += !revision.ok() || revision.value().hash != hash;
  }
  EXPECT_GE(acknowledged, rounds);
  EXPECT_EQ(lost, 0);
  auto report = Verify(*book_);
  ASSERT_TRUE(report.ok()) << report.error().message;
  for (const auto& fault : report.value().faults) ADD_FAILURE() << fault.text;
  EXPECT_GE(report.value().revisions, acknowledged);
  std::printf("  killed %d times: %d saves acknowledged, %d lost, %lld revisions, %zu faults\n", killed_inside,
              acknowledged, lost, static_cast<long long>(report.value().revisions), report.value().faults.size());
}

/// Recordings of the demo, under joints of their own, waiting to be measured.
class BatchTest : public OnBoth {
 protected:
  void Fill(int joints) {
    for (int i = 0; i < joints; ++i) {
      const std::string id = "B-" + std::to_string(i);
      std::string joint = Bytes(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/joint.json");
      joint.replace(joint.find("LX-114"), 6, id);
      Write(folder_ / "joint.json", joint);
      for (const char* name : {"from_a.jpg", "from_b.jpg"})
        if (!fs::exists(folder_ / name))
          fs::copy(fs::path(ROOTSCROLL_SOURCE_DIR "/fixtures/demo") / name, folder_ / name);
      Record record;
      const auto wrong =
          TakeIn(*book_, {folder_ / "joint.json", {"root"}, "R0", "W-1", "2026-03-01", false, "", ""}, record);
      ASSERT_FALSE(wrong) << wrong->message;
      Saved(*book_, record, 0, "recorded");
    }
  }
  std::vector<std::string> WorkerCommand(int milliseconds) const {
    return {BOOK_WORKER, address_, (folder_ / "log").string(), std::to_string(milliseconds)};
  }
  void ExpectEachMeasuredOnce(int joints) {
    EXPECT_EQ(QueueCounts(*book_).value()["measured"], joints);
    for (int i = 0; i < joints; ++i) {
      auto record = book_->LoadRecord("B-" + std::to_string(i));
      ASSERT_TRUE(record.ok());
      EXPECT_EQ(record.value().cycles[0].readings.size(), 1u) << i;
    }
    auto report = Verify(*book_);
    ASSERT_TRUE(report.ok());
    for (const auto& fault : report.value().faults) ADD_FAILURE() << fault.text;
  }
};
ON_BOTH_ENGINES(BatchTest);

TEST_P(BatchTest, FourWorkersOneKilledMeasureEveryRecordingOnce) {
  constexpr int kJoints = 16;
  Fill(kJoints);
  std::vector<std::string> lines;
  std::jthread killer([&] {  // kills the first worker that is seen at work
    for (int tries = 0; tries < 500; ++tries) {
      std::istringstream log(Bytes(folder_ / "log"));
      std::string worker, joint, recording;
      pid_t pid = 0;
      if (log >> worker >> joint >> recording >> pid) {
        ::kill(pid, SIGKILL);
        return;
      }
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
  });
  const auto failed =
      RunWorkers(*book_, 4, WorkerCommand(150), [&](const std::string& line) { lines.push_back(line); });
  EXPECT_FALSE(failed) << failed->message;
  killer.join();
  EXPECT_THAT(lines, testing::ElementsAre(HasSubstr("1 claim given back")));
  ExpectEachMeasuredOnce(kJoints);
  std::istringstream log(Bytes(folder_ / "log"));
  std::map<std::string, int> begun;
  std::string worker, joint, recording, pid;
  int in_all = 0;
  while (log >> worker >> joint >> recording >> pid) ++begun[worker], ++in_all;
  EXPECT_EQ(in_all, kJoints + 1);  // the killed one's was begun again
  EXPECT_GE(begun.size(), 4u);
  std::printf("  %d recordings, %zu workers, %d begun, %d measured into the record\n", kJoints, begun.size(), in_all,
              QueueCounts(*book_).value()["measured"]);
}

TEST_P(BatchTest, KilledAgainAndAgainItMeasuresEveryRecordingOnce) {
  const char* asked = std::getenv("ROOTSCROLL_BATCH_KILLS");  // the proof asks for more
  const int kills = asked != nullptr ? std::atoi(asked) : 6;
  const int joints = std::max(3, kills / 10);
  Fill(joints);
  std::mt19937 random(12);
  std::uniform_int_distribution<int> pause_us(2000, 60000);
  int killed = 0;
  for (int round = 0; killed < kills && round < 20 * kills; ++round) {
    auto words = WorkerCommand(2);
    words.push_back("w" + std::to_string(round));
    const pid_t worker = Start(words, folder_ / "said");
    ASSERT_GT(worker, 0);
    std::this_thread::sleep_for(std::chrono::microseconds(pause_us(random)));
    ::kill(worker, SIGKILL);
    int status = 0;
    ::waitpid(worker, &status, 0);
    killed += WIFSIGNALED(status);
    ASSERT_TRUE(GiveBack(*book_, words.back()).ok());
    ASSERT_TRUE(TryFailedAgain(*book_).ok());
    auto report = Verify(*book_);
    for (const auto& fault : report.value().faults) ADD_FAILURE() << fault.text;
    if (QueueCounts(*book_).value()["measured"] == joints) {  // all done: more of them
      for (int i = 0; i < joints; ++i) {
        Record record = book_->LoadRecord("B-" + std::to_string(i)).value();
        record.cycles[0].readings.clear();
        Saved(*book_, record, book_->Load(record.joint).value().number, "to be measured again");
      }
    }
  }
  EXPECT_FALSE(RunWorkers(*book_, 1, WorkerCommand(1), [](const std::string&) {}));
  ExpectEachMeasuredOnce(joints);
  std::printf("  batch killed %d times: each of %d recordings measured once, %zu faults\n", killed, joints,
              Verify(*book_).value().faults.size());
  EXPECT_EQ(killed, kills);
}

TEST_P(BatchTest, AClaimThatIsNotRenewedIsFreeAgainAndItsLateResultIsRefused) {
  Fill(1);
  QueueOptions quick;
  quick.lease_s = 0.2;
  auto first = ClaimNext(*book_, "sleeper", quick);
  ASSERT_TRUE(first.ok() && first.value());
  EXPECT_FALSE(ClaimNext(*book_, "other", quick).value());
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  auto other = Connect();
  auto second = ClaimNext(*other, "other", quick);
  ASSERT_TRUE(second.ok() && second.value());
  EXPECT_FALSE(Renew(*book_, *first.value(), quick).value());
  Record record = book_->LoadRecord("B-0").value();
  auto late = book_->Save({record, 1, "sleeper", "late", [&](Database& d) { return Finish(d, *first.value(), "x"); }});
  ASSERT_TRUE(late.ok());
  EXPECT_FALSE(late.value().saved);
  EXPECT_EQ(book_->Load("B-0").value().number, 1);
  auto right =
      other->Save({record, 1, "other", "in time", [&](Database& d) { return Finish(d, *second.value(), "x"); }});
  ASSERT_TRUE(right.ok());
  EXPECT_TRUE(right.value().saved);
  auto twice = other->Save({record, 2, "other", "again", [&](Database& d) { return Finish(d, *second.value(), "x"); }});
  EXPECT_FALSE(twice.value().saved);
}

TEST_P(BatchTest, ARecordingThatKillsItsWorkersIsSetAside) {
  Fill(1);
  QueueOptions quick;
  quick.lease_s = 0.01;
  quick.most_attempts = 2;
  for (int i = 0; i < 2; ++i) {
    ASSERT_TRUE(ClaimNext(*book_, "w" + std::to_string(i), quick).value());
    std::this_thread::sleep_for(std::chrono::milliseconds(30));
  }
  EXPECT_FALSE(ClaimNext(*book_, "w2", quick).value());
  EXPECT_EQ(QueueCounts(*book_).value()["failed"], 1);
  EXPECT_EQ(TryFailedAgain(*book_).value(), 1);
  EXPECT_TRUE(ClaimNext(*book_, "w3", quick).value());
}

TEST_P(BatchTest, WhatCannotBeMeasuredIsSetAsideWithItsReason) {
  Fill(2);
  const MeasureFunction measure = [](const fs::path&, const std::string&, const fs::path&, const vision::JobContext&) {
    return vision::Result<BatchResult>(vision::NotFound("not a view along a bore"));
  };
  auto report = RunWorker(*book_, "w", measure);
  ASSERT_TRUE(report.ok());
  EXPECT_EQ(report.value().set_aside, 2);
  auto rows = book_->database().Run("SELECT trouble FROM recording");
  EXPECT_EQ(rows.value().at(0).Text(0), "not a view along a bore");
}

TEST_P(BatchTest, AChangedOriginalIsNotMeasured) {
  Fill(1);
  const FileRef frame = book_->LoadRecord("B-0").value().cycles[0].recordings[0].files[0];
  FlipByte(book_->evidence().PathOf(frame), 1000);
  auto report = RunWorker(*book_, "w", MeasureAndJudge({}));
  ASSERT_TRUE(report.ok());
  EXPECT_EQ(report.value().set_aside, 1);
  EXPECT_THAT(book_->database().Run("SELECT trouble FROM recording").value().at(0).Text(0),
              HasSubstr("SHA-256 differs"));
}

TEST_P(BatchTest, TakingInIsRefusedForAnotherJointATakenNameOrASkippedCycle) {
  Fill(1);
  Record record = book_->LoadRecord("B-0").value();
  const auto refusal = [&](const std::string& recording, const std::string& cycle) {
    Record copy = record;
    const auto wrong = TakeIn(*book_, {folder_ / "joint.json", {recording}, cycle, "", "", false, "", ""}, copy);
    return wrong ? wrong->message : std::string("taken");
  };
  EXPECT_THAT(refusal("root", "R0"), HasSubstr("holds a recording `root` already"));
  EXPECT_THAT(refusal("root", "R2"), HasSubstr("the next one is R1"));
  EXPECT_THAT(refusal("cap", "R0"), HasSubstr("no recording `cap`"));
  EXPECT_EQ(refusal("root", "R1"), "taken");
  record.joint = "another";
  EXPECT_THAT(refusal("root", "R1"), HasSubstr("is of joint B-0, not another"));
}

}  // namespace
}  // namespace book_test
