#include <arpa/inet.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cstdlib>
#include <functional>
#include <thread>

#include "app/book/bundle.h"
#include "app/book/keys.h"
#include "app/book/time_stamp.h"
#include "app/book/verify.h"
#include "tests/book/support.h"

/// Trusted time from an authority on loopback that `openssl ts` answers for. Everything invented.
namespace book_test {
namespace {

using namespace app::book;
using testing::ElementsAre;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;

/// Answers each request with what `answer` makes of it, whole HTTP answers.
class Loopback {
 public:
  using Answer = std::function<std::string(const std::string& body)>;
  explicit Loopback(Answer answer) : answer_(std::move(answer)), listening_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in here{};
    here.sin_family = AF_INET, here.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    EXPECT_EQ(::bind(listening_, reinterpret_cast<sockaddr*>(&here), sizeof here), 0);
    socklen_t size = sizeof here;
    ::getsockname(listening_, reinterpret_cast<sockaddr*>(&here), &size);
    port_ = ntohs(here.sin_port);
    EXPECT_EQ(::listen(listening_, 4), 0);
    thread_ = std::thread([this] { Serve(); });
  }
  ~Loopback() {
    ::shutdown(listening_, SHUT_RDWR);
    ::close(listening_);
    thread_.join();
  }
  int asked() const { return asked_; }
  std::size_t sent() const { return sent_; }  ///< Bytes that went out in all.
  std::string url() const { return "http://127.0.0.1:" + std::to_string(port_) + "/stamp"; }

 private:
  void Serve() {
    while (true) {
      const int peer = ::accept(listening_, nullptr, nullptr);
      if (peer < 0) return;
      ++asked_;
      const std::string reply = answer_(Body(peer));
      for (std::size_t sent = 0; sent < reply.size();) {
        const auto now = ::send(peer, reply.data() + sent, reply.size() - sent, MSG_NOSIGNAL);
        if (now <= 0) break;
        sent += static_cast<std::size_t>(now);
        sent_ += static_cast<std::size_t>(now);
      }
      ::close(peer);
    }
  }
  static std::string Body(int peer) {
    std::string all;
    std::array<char, 4096> part{};
    while (true) {
      const auto head = all.find("\r\n\r\n");
      const auto length = all.find("Content-Length: ");
      if (head != std::string::npos && length != std::string::npos &&
          all.size() - head - 4 >= std::stoul(all.substr(length + 16)))
        return all.substr(head + 4);
      const auto got = ::recv(peer, part.data(), part.size(), 0);
      if (got <= 0) return "";
      all.append(part.data(), static_cast<std::size_t>(got));
    }
  }
  Answer answer_;
  int listening_, port_ = 0;
  std::atomic<int> asked_{0};
  std::atomic<std::size_t> sent_{0};
  std::thread thread_;
};

std::string Http(const std::string& body, const std::string& status = "200 OK",
                 const std::string& type = "application/timestamp-reply") {
  return "HTTP/1.1 " + status + "\r\nContent-Type: " + type + "\r\nContent-Length: " + std::to_string(body.size()) +
         "\r\nConnection: close\r\n\r\n" + body;
}

class TimeTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped()) return;
    Write(folder_ / "tsa.cnf", R"([req]
distinguished_name = name
[name]
[ca]
basicConstraints = critical, CA:true
[stamps]
extendedKeyUsage = critical, timeStamping
[tsa]
default_tsa = shop
[shop]
serial = serial
signer_digest = sha256
default_policy = 1.3.6.1.4.1.55555.1
digests = sha256
accuracy = secs:1
)");
    Write(folder_ / "serial", "01\n");
    for (const std::string who : {"ca", "other"})
      Shell("openssl req -x509 -newkey ed25519 -nodes -keyout " + who + ".key -out " + who + ".pem -subj /CN=" + who +
            " -days 30 -config tsa.cnf -extensions ca");
    Shell("openssl req -newkey rsa:2048 -nodes -keyout tsa.key -out tsa.csr -subj /CN=authority -config tsa.cnf");
    Shell(
        "openssl x509 -req -in tsa.csr -CA ca.pem -CAkey ca.key -CAcreateserial -days 30 -out tsa.pem -extfile "
        "tsa.cnf -extensions stamps");
    Saved(*book_, SmallRecord("J-1"), 0);
    ASSERT_FALSE(RegisterKey(*book_, "C. Examiner", key_.PublicHex(), "B. Approver"));
    auto signoff = Sign(*book_, GoodStatement("J-1"), key_);
    ASSERT_TRUE(signoff.ok()) << signoff.error().message;
    signoff_ = signoff.value().hash;
  }

  void Shell(const std::string& command) const {
    ASSERT_EQ(std::system(("cd " + folder_.string() + " && " + command + " >said 2>&1").c_str()), 0)
        << command << "\n"
        << Bytes(folder_ / "said");
  }
  /// As `openssl ts` answers.
  std::string Stamped(const std::string& request) const {
    Write(folder_ / "asked", request);
    Shell(
        "openssl ts -reply -config tsa.cnf -section shop -queryfile asked -signer tsa.pem -inkey tsa.key -chain "
        "ca.pem -out answer");
    return Bytes(folder_ / "answer");
  }
  TimeStamp Stamp() {
    const Loopback authority([this](const std::string& request) { return Http(Stamped(request)); });
    auto stamp = StampSignOff(*book_, signoff_, authority.url());
    EXPECT_TRUE(stamp.ok()) << stamp.error().message;
    return stamp.ok() ? stamp.value() : TimeStamp{};
  }
  std::vector<Fault> Faults(const std::string& authority = "") {
    VerifyOptions options;
    options.time_authority = authority;
    auto report = Verify(*book_, options);
    EXPECT_TRUE(report.ok());
    return report.ok() ? report.value().faults : std::vector<Fault>{};
  }
  std::string ca(const std::string& name = "ca") const { return (folder_ / (name + ".pem")).string(); }

  PrivateKey key_ = PrivateKey::FromRaw(std::string(64, '3')).value();
  std::string signoff_;
};

TEST_P(TimeTest, AStampIsKeptBesideTheSignOffAndVerified) {
  const auto stamp = Stamp();
  EXPECT_THAT(Faults(), IsEmpty());
  EXPECT_THAT(Faults(ca()), IsEmpty());
  EXPECT_THAT(Faults(ca("other")), ElementsAre(Field(&Fault::text, HasSubstr("bears out who signed it"))));
  EXPECT_THAT(Faults((folder_ / "none.pem").string()), ElementsAre(Field(&Fault::text, HasSubstr("no certificates"))));
  const auto moment = TimeOf(stamp, ca());
  ASSERT_TRUE(moment.ok());
  const auto signed_at = SignOffs(*book_, "J-1").value().front().statement.signed_at;
  EXPECT_GE(moment.value(), signed_at);
  EXPECT_LE(moment.value().substr(0, 10), DayFromNow(1));
  // another program, knowing the sign-off's hash alone
  Write(folder_ / "kept", BytesOf(stamp.response));
  Shell("openssl ts -verify -digest " + signoff_ + " -in kept -CAfile ca.pem");
  Write(folder_ / "kept_request", BytesOf(stamp.request));
  Shell("openssl ts -verify -queryfile kept_request -in kept -CAfile ca.pem");
}

TEST_P(TimeTest, AStampThatWasChangedIsNamed) {
  const auto stamp = Stamp();
  const std::string table = postgres() ? "rootscroll.time_stamp" : "time_stamp";
  std::string other = stamp.response;
  other[other.size() / 2] = other[other.size() / 2] == '0' ? '1' : '0';
  Tamper("UPDATE " + table + " SET response = '" + other + "'");
  EXPECT_THAT(Faults(), testing::Contains(Field(&Fault::text, HasSubstr("is no longer what was stored"))));
  TimeStamp forged = stamp;  // worked out anew, the journal aside
  forged.login = "another";
  Tamper("UPDATE " + table + " SET response = '" + stamp.response + "', login = 'another', hash = '" +
         forged.ComputeHash() + "'");
  EXPECT_THAT(Faults(), testing::Contains(Field(&Fault::what, "journal")));
}

TEST_P(TimeTest, WhatIsNoAnswerIsSaidAndNothingIsKept) {
  const auto refusal = [this](const Loopback::Answer& answer) {
    const Loopback authority(answer);
    TimeOptions options;
    options.most_wait_ms = 1500;
    auto stamp = StampSignOff(*book_, signoff_, authority.url(), options);
    EXPECT_TRUE(TimeStamps(*book_).value().empty());
    return stamp.ok() ? std::string("kept") : stamp.error().message;
  };
  EXPECT_THAT(refusal([](const std::string&) { return Http("no", "500 Oh", "text/html"); }), HasSubstr("status 500"));
  EXPECT_THAT(refusal([](const std::string&) { return Http("<html>", "200 OK", "text/html"); }),
              HasSubstr("is no time stamp"));
  EXPECT_THAT(refusal([](const std::string&) { return Http("<html>"); }), HasSubstr("not those of RFC 3161"));
  EXPECT_THAT(refusal([](const std::string&) { return Http(std::string((1u << 16) + 1, 'x')); }),
              HasSubstr("more than 65536 bytes"));
  EXPECT_THAT(refusal([](const std::string&) { return ::sleep(3), std::string(); }), HasSubstr("does not answer"));
  const std::string others = TimeRequest(std::string(64, 'a')).value();
  EXPECT_THAT(refusal([&](const std::string&) { return Http(Stamped(others)); }), HasSubstr("something else"));
  const std::string again = TimeRequest(signoff_).value();  // the same sign-off, another nonce
  EXPECT_THAT(refusal([&](const std::string&) { return Http(Stamped(again)); }), HasSubstr("another request"));
  EXPECT_THAT(refusal([&](const std::string& request) {
                auto answer = Stamped(request);
                answer.back() = static_cast<char>(answer.back() ^ 1);  // in the signature, which comes last
                return Http(answer);
              }),
              HasSubstr("its signature does not hold"));
  for (const std::string url : {"", "127.0.0.1", "ftp://127.0.0.1/", "file:///etc/passwd", "http://"})
    EXPECT_THAT(StampSignOff(*book_, signoff_, url).error().message, HasSubstr("such as http://time.example")) << url;
  EXPECT_THAT(StampSignOff(*book_, std::string(64, 'a'), "http://127.0.0.1:1/").error().message,
              HasSubstr("no sign-off"));
  EXPECT_THAT(StampSignOff(*book_, signoff_, "http://127.0.0.1:1/").error().message, HasSubstr("does not answer"));
  EXPECT_THAT(Faults(), IsEmpty());
}

TEST_P(TimeTest, AnAuthorityNeitherSendsElsewhereNorWithoutEnd) {
  const Loopback elsewhere([](const std::string&) { return Http("x"); });
  const Loopback redirects([&](const std::string&) {
    return "HTTP/1.1 307 Elsewhere\r\nLocation: " + elsewhere.url() + "\r\nContent-Length: 0\r\n\r\n";
  });
  EXPECT_THAT(StampSignOff(*book_, signoff_, redirects.url()).error().message, HasSubstr("status 307"));
  EXPECT_EQ(elsewhere.asked(), 0);
  constexpr std::size_t kLong = std::size_t{256} << 20;
  const Loopback talks([](const std::string&) { return Http(std::string(kLong, 'x')); });
  EXPECT_THAT(StampSignOff(*book_, signoff_, talks.url()).error().message, HasSubstr("more than 65536 bytes"));
  EXPECT_LT(talks.sent(), kLong / 2);
  EXPECT_TRUE(TimeStamps(*book_).value().empty());
}

TEST_P(TimeTest, ABundleCarriesIt) {
  const auto stamp = Stamp();
  const auto file = folder_ / "j.zip";
  ASSERT_FALSE(ExportBundle(*book_, "J-1", file));
  auto other = Book::Create((folder_ / "other.book").string()).value();
  ASSERT_TRUE(ImportBundle(*other, file, {true}).ok());
  const auto stamps = TimeStamps(*other).value();
  ASSERT_EQ(stamps.size(), 1U);
  EXPECT_EQ(stamps.front().ComputeHash(), stamp.hash);
  VerifyOptions options;
  options.time_authority = ca();
  const auto report = Verify(*other, options);
  EXPECT_TRUE(report.value().clean());
  EXPECT_EQ(report.value().time_stamps, 1);
}

ON_BOTH_ENGINES(TimeTest);

}  // namespace
}  // namespace book_test
