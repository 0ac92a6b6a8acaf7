//! What holds for the trade's arithmetic whatever the figures: inverses, mirrors, what rises and falls, and that no call comes to anything but a number or a
//! sentence.

#[path = "trade_properties/any_call.rs"]
mod any_call;
#[path = "trade_tables/call.rs"]
mod call;
#[path = "trade_properties/classes.rs"]
mod classes;
#[path = "trade_properties/crank.rs"]
mod crank;
#[path = "trade_properties/cylinder.rs"]
mod cylinder;
#[path = "trade_properties/joints.rs"]
mod joints;
#[path = "trade_properties/wear.rs"]
mod wear;
